import { tQuantile } from '../../base/statistics/distributions.ts';
import { PSI_PA } from '../../base/units/constants.ts';
import type { NozzleCurve } from '../curve/nozzle-curve.ts';
import { MOST_DEGREES_OF_FREEDOM } from '../flow/catch-uncertainty.ts';
import { JET_DRIFT_REACH_s, JET_DRIFT_SHARE } from '../flow/jet-allowance.ts';
import type { Wand } from '../flow/jet-allowance.ts';
import { lowFrequencyDegreesOfFreedom } from '../flow/low-frequency-variance.ts';
import { BACK_TRIM_s, FRONT_TRIM_s } from '../flow/steady-window.ts';
import { ASSUMED_WATER_degC, waterDensity } from '../flow/water-density.ts';
import { HOSE_PULL_kg } from '../rigs/hose-pull.ts';
import type { Budget, BudgetHelp, BudgetInput, BudgetLine } from './budget.ts';
import { combineLines } from './sum-lines.ts';

/** Longest catch that is advised, and what a catch is made at least. */
const LONGEST_s = 60;
const ADVISED_s = 30;
/** A sensor to compare with: good to a quarter of a psi, all of it shared (measurement study 5.3). */
const GOOD_SENSOR_Pa = 0.25 * PSI_PA;
/** A dial read at zero pressure: to 0.7 psi (measurement study 5.3, "extra data"). */
const ZERO_READING_Pa = 0.7 * PSI_PA;
/** A device clock looked at for a minute: conservative against the 2·10⁻⁵ that captures of minutes show. */
const CHECKED_CLOCK = 1e-4;
/** A help that takes off less than this is none. */
const WORTH_SAYING = 0.95;

export interface HelpFacts {
  readonly wand: Wand;
  readonly waterAssumed: boolean;
  /** A pumped-up can: it runs down, so how long a catch is can't be chosen. */
  readonly runsDown?: boolean;
}

/** What would make the ± of one catch smaller, best first; the same budget with one input made better at a time. */
export function catchHelps(budget: Budget, length_s: number, facts: HelpFacts): BudgetHelp[] {
  return sorted(budget, [
    ...instrumentHelps(budget, facts),
    facts.runsDown === true ? null : longerCatch(budget, length_s),
    help(budget, 'three-catches', 3, (line) => (line.scope === 'own' ? lessBy(line, Math.sqrt(3), 3) : line)),
  ]);
}

/**
 * What would make the ± of k smaller. The fit's weights are left as they are, so a better setting or steadier catches would do a little
 * better than said.
 */
export function curveHelps(budget: Budget, curve: NozzleCurve, facts: HelpFacts): BudgetHelp[] {
  const catchesEach = Math.max(1, Math.round(curve.catches / curve.settings));
  const isAveraged = (line: BudgetLine): boolean =>
    line.scope === 'own' && (line.input !== 'setting' || curve.protocol === 're-set');
  const sensor = budget.value * curve.offsetSensitivity_per_Pa * GOOD_SENSOR_Pa;
  return sorted(budget, [
    ...instrumentHelps(budget, facts),
    help(budget, 'twice-the-catches', 2 * catchesEach, (line) =>
      isAveraged(line) ? lessBy(line, Math.SQRT2, 2) : line,
    ),
    curve.pressureMeasured || !has(budget, 'setting')
      ? null
      : help(budget, 'pressure-sensor', GOOD_SENSOR_Pa, (line) => {
          if (line.input !== 'setting') return line;
          // With a sensor neither the dial's scatter nor what the whole dial is off by matters any more.
          return line.scope === 'own' ? sensorInstead(line, sensor) : lessBy(line, Infinity, 1);
        }),
  ]);
}

/** What would make the ± of measured over rated smaller: as for k, and the dial read at zero. */
export function ratioHelps(budget: Budget, curve: NozzleCurve, facts: HelpFacts): BudgetHelp[] {
  const dial = budget.lines.find((line) => line.input === 'setting' && line.scope === 'shared');
  const zero =
    dial === undefined
      ? null
      : help(budget, 'dial-at-zero', ZERO_READING_Pa, (line) =>
          line === dial ? lessBy(line, Math.max(1, line.standardUncertainty / ZERO_READING_Pa), 1) : line,
        );
  return sorted(budget, [...curveHelps(budget, curve, facts), zero]);
}

/** What would make the ± of a catch timed by thumb smaller. */
export function handHelps(budget: Budget, duration_s: number): BudgetHelp[] {
  const longer_s = longerThan(duration_s);
  return sorted(budget, [
    longer_s === null
      ? null
      : help(budget, 'longer-catch', longer_s, (line) =>
          line.input === 'thumb' || line.input === 'mark-reading'
            ? lessBy(line, longer_s / duration_s, 1)
            : line,
        ),
    help(budget, 'three-catches', 3, (line) => (line.scope === 'own' ? lessBy(line, Math.sqrt(3), 1) : line)),
  ]);
}

function instrumentHelps(budget: Budget, facts: HelpFacts): (BudgetHelp | null)[] {
  const water = waterDensity(ASSUMED_WATER_degC);
  const stated = water.ok ? budget.value * water.value.relativeStandardUncertainty : null;
  return [
    facts.wand === 'guided'
      ? null
      : help(budget, 'guide-wand', null, (line) =>
          line.input === 'jet-push'
            ? lessBy(line, JET_DRIFT_SHARE['hand-held'] / JET_DRIFT_SHARE.guided, 1)
            : line.input === 'hose-pull'
              ? lessBy(line, HOSE_PULL_kg['hand-held'] / HOSE_PULL_kg.guided, 1)
              : line,
        ),
    facts.waterAssumed && stated !== null
      ? help(budget, 'measure-water', null, (line) =>
          line.input === 'water-temperature' ? lessBy(line, line.contribution / stated, 1) : line,
        )
      : null,
    help(budget, 'clock-check', ADVISED_s * 2, (line) =>
      line.input === 'device-clock' && line.standardUncertainty > CHECKED_CLOCK
        ? lessBy(line, line.standardUncertainty / CHECKED_CLOCK, 1)
        : line,
    ),
  ];
}

/** Slow noise of a line falls as its window to the power 1.5; the jet's drift as the catch, until it drifts farther (rule 11.14). */
function longerCatch(budget: Budget, length_s: number): BudgetHelp | null {
  const longer_s = longerThan(length_s);
  if (longer_s === null) return null;
  const window = (catch_s: number): number => Math.max(1, catch_s - FRONT_TRIM_s - BACK_TRIM_s);
  const drift = (catch_s: number): number => Math.max(1, catch_s / JET_DRIFT_REACH_s) / catch_s;
  return help(budget, 'longer-catch', longer_s, (line) => {
    if (line.input === 'jet-push' || line.input === 'hose-pull')
      return lessBy(line, drift(length_s) / drift(longer_s), 1);
    if (line.input !== 'scatter-of-readings' && line.input !== 'pulses') return line;
    return {
      ...lessBy(line, (window(longer_s) / window(length_s)) ** 1.5, 1),
      degreesOfFreedom: lowFrequencyDegreesOfFreedom(window(longer_s)),
    };
  });
}

/** At least half a minute, at least half as long again; null where that is longer than anyone sprays. */
function longerThan(length_s: number): number | null {
  const longer_s = Math.min(LONGEST_s, Math.max(ADVISED_s, 5 * Math.ceil((1.5 * length_s) / 5)));
  return longer_s >= 1.2 * length_s ? longer_s : null;
}

function sensorInstead(line: BudgetLine, contribution: number): BudgetLine {
  return {
    ...line,
    input: 'pressure-reading',
    scope: 'shared',
    contribution,
    degreesOfFreedom: MOST_DEGREES_OF_FREEDOM,
  };
}

function lessBy(line: BudgetLine, factor: number, degreesOfFreedomFactor: number): BudgetLine {
  return {
    ...line,
    contribution: line.contribution / factor,
    degreesOfFreedom: Math.min(MOST_DEGREES_OF_FREEDOM, line.degreesOfFreedom * degreesOfFreedomFactor),
  };
}

const has = (budget: Budget, input: BudgetInput): boolean =>
  budget.lines.some((line) => line.input === input);

/** The budget with its lines changed; `acts` is the input that gains most. Null where nothing worth saying is gained. */
function help(
  budget: Budget,
  kind: BudgetHelp['help'],
  amount: number | null,
  change: (line: BudgetLine) => BudgetLine,
): BudgetHelp | null {
  const lines = budget.lines.map(change);
  const gain = (i: number): number => budget.lines[i]!.contribution ** 2 - lines[i]!.contribution ** 2;
  let most = 0;
  for (let i = 1; i < lines.length; i++) if (gain(i) > gain(most)) most = i;
  const acts = budget.lines[most]?.input;
  if (acts === undefined) return null;
  const whole = combineLines(lines);
  const expandedUncertainty95 =
    whole.standardUncertainty * tQuantile(0.975, Math.min(MOST_DEGREES_OF_FREEDOM, whole.degreesOfFreedom));
  if (!(expandedUncertainty95 < WORTH_SAYING * budget.expandedUncertainty95)) return null;
  return { help: kind, acts, amount, expandedUncertainty95 };
}

function sorted(budget: Budget, found: readonly (BudgetHelp | null)[]): BudgetHelp[] {
  return found
    .filter(
      (one): one is BudgetHelp => one !== null && one.expandedUncertainty95 < budget.expandedUncertainty95,
    )
    .sort((a, b) => a.expandedUncertainty95 - b.expandedUncertainty95);
}
