import { driftOfRig } from '../../../src/analysis/drift/drift-of-rig.ts';
import { Random } from '../../../src/simulation/random.ts';
import { madeRig } from './made-seasons.ts';

export interface ForecastScore {
  readonly tips: number;
  readonly weeks: number;
  readonly refusedPercent: number;
  readonly fifthPercentile: number;
  readonly median: number;
  readonly ninetyFifthPercentile: number;
  readonly coveragePercent: number;
}

/** Wear of half a per cent a week from the baseline on: +10 % in week 20. What is foretold after so many weeks. */
export function forecasts(tips: number, weeks: number, runs: number, seed: number): ForecastScore {
  const random = new Random(seed);
  const found: number[] = [];
  let covered = 0;
  for (let run = 0; run < runs; run++) {
    const chart = driftOfRig(
      madeRig({
        tips,
        weeks,
        standardDeviation: 0.005,
        random: random.stream(run),
        wear: (tip, week) => (tip === 0 ? 0.005 * week : 0),
      }),
    ).get('tip 0')!;
    if (chart.forecast === null) continue;
    const { week, earliest, latest } = chart.forecast;
    found.push(week);
    if (earliest <= 20 && (latest ?? Infinity) >= 20) covered++;
  }
  found.sort((a, b) => a - b);
  const at = (p: number): number => found[Math.min(found.length - 1, Math.floor(p * found.length))] ?? NaN;
  return {
    tips,
    weeks,
    refusedPercent: (100 * (runs - found.length)) / runs,
    fifthPercentile: at(0.05),
    median: at(0.5),
    ninetyFifthPercentile: at(0.95),
    coveragePercent: (100 * covered) / found.length,
  };
}
