import type { ScenarioName } from '../../src/simulation/scenario.ts';
import { enoughFills } from './accuracy-parts/enough-fills.ts';
import { enoughFigures, fixedFigures } from './accuracy-parts/figures.ts';
import { fixedFills } from './accuracy-parts/fixed-fills.ts';
import { run as runEvents } from './events.ts';
import { clockOff } from './targets-parts/clock-off.ts';
import { meanOfThree } from './targets-parts/mean-of-three.ts';
import { accuracyRows, eventRows, printed, type Events, type Row } from './targets-parts/rows.ts';
import { resonance, troublesTold } from './targets-parts/warnings-due.ts';

const parts = ['accuracy', 'events', 'enough'] as const;
const scenarios: readonly ScenarioName[] = [
  ...(['clean', 'typical-pure', 'typical80-pure', 'rough-pure', 'worst-pure'] as const),
  ...(['typical', 'typical80', 'rough', 'worst', 'windy'] as const),
  ...(['wand-on-rim', 'mist-lost', 'foam', 'freezing-display', 'auto-zero', 'jug'] as const),
];
const heard: readonly (readonly [ScenarioName, number])[] = [
  ['typical', 10_000],
  ['clean', 2000],
  ['typical80', 2000],
  ['rough', 4000],
  ['worst', 2000],
  ['windy', 2000],
  ['wand-on-rim', 2000],
];
const enough: readonly (readonly [ScenarioName, number, number])[] = [
  ['typical', 0.0025, 2000],
  ['typical', 0.005, 2000],
  ['typical', 0.01, 2000],
  ['rough', 0.005, 500],
  ['rough', 0.01, 500],
];

/**
 * `npm run benchmark -- targets [--share=1] [--part=accuracy|events|enough] [--scenarios=typical,rough]
 * [--seedBase=400000]`
 * Every campaign behind the targets, on seeds that nobody tuned on, printed row by row on standard error; `--share=0.1` takes a tenth
 * of the fills. About ten minutes of one core; the parts may run side by side, and the scenarios of
 * the first (`--scenarios`; rows whose campaign is not there are left out).
 */
export function run(options: Readonly<Record<string, string>> = {}): unknown {
  const share = Number(options['share'] ?? 1);
  const seedBase = Number(options['seedBase'] ?? 400_000);
  const part = options['part'] ?? 'all';
  const wanted = parts.filter((name) => part === 'all' || part === name);
  if (wanted.length === 0) throw new Error(`no part ${part}; there are ${parts.join(', ')}`);
  const of = (fills: number): number => Math.max(20, Math.round((share * fills) / 20) * 20);
  const results = wanted.map((name) => {
    if (name === 'accuracy') return accuracy(of, seedBase, options['scenarios']?.split(',') ?? scenarios);
    return name === 'events' ? events(of, seedBase) : whenEnough(of, seedBase);
  });
  const rows = results.flatMap((result) => result.rows);
  console.error(printed(rows));
  return { share, seedBase, rows, ...Object.assign({}, ...results.map(({ raw }) => raw)) };
}

type Of = (fills: number) => number;
interface Part {
  readonly rows: readonly Row[];
  readonly raw: Readonly<Record<string, unknown>>;
}

function accuracy(of: Of, seedBase: number, chosen: readonly string[]): Part {
  const campaigns = new Map<ScenarioName, ReturnType<typeof fixedFills>>();
  const fixed: Record<string, ReturnType<typeof fixedFigures>> = {};
  for (const scenario of scenarios.filter((name) => chosen.includes(name))) {
    // At 80 readings a second the bound is a system of 2,400 equations: every tenth fill's.
    const boundEvery = scenario.startsWith('typical80') ? 10 : 1;
    const campaign = fixedFills(scenario, of(2000), seedBase, boundEvery);
    campaigns.set(scenario, campaign);
    fixed[scenario] = fixedFigures(campaign);
    console.error(`${scenario}: done`);
  }
  const threes = Object.fromEntries(
    (['typical', 'rough'] as const)
      .filter((name) => chosen.includes(name))
      .map((name) => [name, meanOfThree(name, of(1800), seedBase + 300_000)]),
  );
  const told = troublesTold((scenario) => campaigns.get(scenario) ?? null);
  const resonant = chosen.includes('clean') ? resonance(of(400), seedBase) : null;
  const clock = chosen.includes('typical') ? clockOff(of(400), seedBase) : null;
  return {
    rows: [...accuracyRows(fixed), ...threesRows(threes), ...warningRows(told, resonant)],
    raw: { fixed, threes, told, resonant, clock },
  };
}

function events(of: Of, seedBase: number): Part {
  const detector: Record<string, Events> = {};
  const simpleThreshold: Record<string, unknown> = {};
  for (const [scenario, fills] of heard) {
    const [scored] = runEvents({ scenario, fills: of(fills), seedBase: seedBase + 200_000 });
    detector[scenario] = scored?.['detector'] as Events;
    simpleThreshold[scenario] = scored?.['simpleThreshold'];
    console.error(`${scenario}: heard`);
  }
  return { rows: eventRows(detector), raw: { events: detector, simpleThreshold } };
}

function whenEnough(of: Of, seedBase: number): Part {
  const stopped = enough.map(([scenario, target, fills]) => {
    const figures = enoughFigures(enoughFills(scenario, of(fills), seedBase + 1_000_000, target));
    console.error(`${scenario} to ${String(100 * target)} %: done`);
    return { scenario, target, fills: of(fills), ...figures };
  });
  return { rows: stopped.map(enoughRow), raw: { stopped } };
}

function threesRows(threes: Readonly<Record<string, ReturnType<typeof meanOfThree>>>): Row[] {
  return Object.entries(threes).map(
    ([name, { coveragePercent = NaN, medianHalfWidthPercent = NaN, means }]) => ({
      row: '5',
      what: `mean of three, ${name}, ${String(means)} means`,
      target: '93-97.5 %',
      measured: `${coveragePercent.toFixed(2)} % (± ${medianHalfWidthPercent.toFixed(3)} %)`,
      met: coveragePercent >= 93 && coveragePercent <= 97.5,
    }),
  );
}

function warningRows(
  told: ReturnType<typeof troublesTold>,
  resonant: ReturnType<typeof resonance> | null,
): Row[] {
  const percent = (x: number): string => `${x.toFixed(2)} %`;
  const rows: Row[] = [];
  const add = (what: string, measured: string, met: boolean): void => {
    rows.push({ row: '10', what, target: 'detected and warned', measured, met });
  };
  if (resonant !== null) {
    const { near, far } = resonant;
    add(
      'resonance warned; same display, generic flow',
      `${percent(near.warnedPercent)}; ${percent(far.warnedPercent)} (coverage ${percent(near.coveragePercent)})`,
      near.warnedPercent > 95 && far.warnedPercent < 1,
    );
  }
  const coarse = told.coarseSteps?.warnedPercent;
  if (coarse !== undefined) add('5 g steps warned (worst)', percent(coarse), coarse > 99);
  return rows;
}

function enoughRow(seen: {
  readonly scenario: string;
  readonly target: number;
  readonly fills: number;
  readonly missed: number;
  readonly atThatMoment: { readonly coveragePercent: number } | null;
  readonly asKept: { readonly coveragePercent: number } | null;
}): Row {
  const now = seen.atThatMoment?.coveragePercent ?? NaN;
  const kept = seen.asKept?.coveragePercent ?? NaN;
  return {
    row: '11.1',
    what: `coverage when “enough” stops, ${seen.scenario}, ${String(100 * seen.target)} %, ${String(seen.fills)} fills`,
    target: '≥ 93 %',
    measured: `${now.toFixed(2)} %, as kept ${kept.toFixed(2)} % (${String(seen.missed)} missed)`,
    met: now >= 93 && kept >= 93,
  };
}
