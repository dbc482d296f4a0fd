import { isScenarioName } from '../../src/simulation/scenario.ts';
import { enoughFills } from './accuracy-parts/enough-fills.ts';
import { enoughFigures, fixedFigures } from './accuracy-parts/figures.ts';
import { fixedFills, wandOf } from './accuracy-parts/fixed-fills.ts';

const HELD_OUT_FROM = 200_000;

/**
 * `npm run benchmark -- accuracy [--scenario=typical] [--fills=2000] [--seedBase=200000] [--targets=0.005,0.01] [--enoughFills=600]`
 * The whole pipeline on simulated fills with the detector's own edges, beside the bound, plain least squares and the stopwatch, and at the moment
 * the "enough" rule stops. Seeds from 200000 up were not used in tuning.
 */
export function run(options: Readonly<Record<string, string>> = {}): unknown {
  const scenario = options['scenario'] ?? 'typical';
  if (!isScenarioName(scenario)) throw new Error(`no scenario ${scenario}`);
  const fills = Number(options['fills'] ?? (scenario.startsWith('typical') ? 2000 : 500));
  const seedBase = Number(options['seedBase'] ?? HELD_OUT_FROM);
  const targets = (options['targets'] ?? '0.005,0.01').split(',').map(Number);
  const stoppedFills = Number(options['enoughFills'] ?? Math.min(fills, 600));
  const fixed = fixedFills(scenario, fills, seedBase);
  return {
    scenario,
    wand: wandOf(scenario),
    fills,
    seeds: `from ${seedBase}, 20 fills a session`,
    ...fixedFigures(fixed),
    whenEnough: targets
      .filter(() => stoppedFills > 0)
      .map((target) => ({
        target,
        fills: stoppedFills,
        seeds: `from ${seedBase + 1_000_000}, one fill each`,
        ...enoughFigures(enoughFills(scenario, stoppedFills, seedBase + 1_000_000, target)),
      })),
  };
}
