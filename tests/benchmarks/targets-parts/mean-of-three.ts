import { pooledDeviation } from '../../../src/base/statistics/pooled-deviation.ts';
import { tQuantile } from '../../../src/base/statistics/distributions.ts';
import { scenarioNamed, type ScenarioName } from '../../../src/simulation/scenario.ts';
import { figures, mean, type Pair } from '../accuracy-parts/figures.ts';
import { fixedFills } from '../accuracy-parts/fixed-fills.ts';

const SETTINGS = 5;
const REPEATS = 3;

/**
 * Row 5: five settings of three catches; the interval of each mean from the scatter between catches, pooled over the five (10 degrees
 * of freedom), never under what the catches say of themselves. Flows of 20-30 g/s, as the study had them.
 */
export function meanOfThree(scenario: ScenarioName, fills: number, seedBase: number) {
  const drawn = { ...scenarioNamed(scenario), flow_kg_per_s: [0.02, 0.03] as const };
  const { scored } = fixedFills(drawn, fills, seedBase, Infinity);
  const means: Pair[] = [];
  for (let at = 0; at + SETTINGS * REPEATS <= scored.length; at += SETTINGS * REPEATS) {
    const groups = Array.from({ length: SETTINGS }, (_, i) =>
      scored.slice(at + REPEATS * i, at + REPEATS * (i + 1)),
    );
    const between = pooledDeviation(groups.map((group) => group.map((fill) => fill.error)));
    if (between === null) continue;
    const t = tQuantile(0.975, between.degreesOfFreedom);
    for (const group of groups) {
      // Own half-widths of single catches, as if normal: what is never undercut.
      const within = Math.sqrt(mean(group.map((fill) => (fill.halfWidth / 1.96) ** 2)));
      const sd = Math.max(between.standardDeviation, 0.5 * within);
      means.push([mean(group.map((fill) => fill.error)), (t * sd) / Math.sqrt(REPEATS)]);
    }
  }
  return { means: means.length, ...figures(means) };
}
