import { rigScenarioNames, type RigScenarioName } from '../../src/simulation/rig-scenarios.ts';
import { scoreRig, type Scored } from './rigs-parts/score-rigs.ts';

/** Seeds from here up were not looked at while the methods were chosen. */
const HELD_OUT_FROM = 300_000;

/**
 * `npm run benchmark -- rigs [--scenario=tank,hand-pump] [--fills=2000] [--seedBase=300000]`
 * Each kind of rig through the whole pipeline with the detector's own edges. Held against: `told`, what the capture's truth names (mean of
 * the window; steady flow of a hose; mean over the whole strokes); `flow at that rhythm`, the mean that endless pumping at the person's own pace
 * would give (a hand pump's result means that, so its ± has the strokes' scatter in it); `row`, the falling flow at a moment. Beside them
 * what the same catch says when it is read as a held pressure.
 */
export function run(options: Readonly<Record<string, string>> = {}): unknown {
  const names = (options['scenario'] ?? rigScenarioNames.join(',')).split(',');
  const fills = Number(options['fills'] ?? 2000);
  const seedBase = Number(options['seedBase'] ?? HELD_OUT_FROM);
  return names.map((name) => {
    if (!(rigScenarioNames as readonly string[]).includes(name)) throw new Error(`no rig scenario ${name}`);
    const { against, ...counts } = scoreRig(name as RigScenarioName, fills, seedBase);
    return {
      scenario: name,
      seeds: `from ${seedBase}, 20 fills a session`,
      ...counts,
      against: Object.fromEntries(Object.entries(against).map(([what, pairs]) => [what, figures(pairs)])),
    };
  });
}

function figures(pairs: readonly Scored[]) {
  const errors = pairs.map(([error]) => error);
  const mean = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0) / values.length;
  const at = (values: readonly number[], p: number): number =>
    [...values].sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(p * values.length))] ?? NaN;
  const rounded = (share: number): number => Math.round(share * 1e5) / 1e3;
  return {
    n: pairs.length,
    rmsePercent: rounded(Math.sqrt(mean(errors.map((error) => error * error)))),
    biasPercent: rounded(mean(errors)),
    within95Percent: rounded(at(errors.map(Math.abs), 0.95)),
    coveragePercent:
      Math.round((1e3 * pairs.filter(([error, half]) => Math.abs(error) <= half).length) / pairs.length) / 10,
    medianHalfWidthPercent: rounded(
      at(
        pairs.map(([, half]) => half),
        0.5,
      ),
    ),
  };
}
