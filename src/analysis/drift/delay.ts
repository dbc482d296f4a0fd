import { tCdf } from '../../base/statistics/distributions.ts';
import { DRIFT_WEIGHT, ewmaSpread } from './ewma.ts';

/** Half a per cent a week: what the study states its delays for. */
export const STATED_WEAR_PER_WEEK = 0.005;
/** Longer nobody waits for a chart: ten years. */
const LONGEST_weeks = 520;

/**
 * What: weeks from the beginning of a steady wear to the signal of the chart, on average and within which 90 % are seen.
 * Method: the chance that the average of week i lies beyond the limit, Φ(mᵢ/(s·f) − L) with mᵢ = r(i − (1−λ)/λ·(1−(1−λ)^i)) the mean of the
 *   average under wear r, and f its spread after many weeks. The averages of a wear that goes on rarely come back inside, so that this
 *   is the chance to have been seen by week i: held against the study's simulated delays in tests (measurement 7).
 * @param standardDeviation s of one check, relative. @param width L. @param baseline sweeps in it. Null: not seen within ten years.
 */
export function delayOfWear(
  standardDeviation: number,
  width: number,
  baseline: number,
  perWeek: number = STATED_WEAR_PER_WEEK,
): { readonly mean: number; readonly ninetyPercent: number } | null {
  const spread = standardDeviation * ewmaSpread(DRIFT_WEIGHT, Infinity, baseline);
  let mean = 1;
  let ninetyPercent: number | null = null;
  for (let week = 1; week <= LONGEST_weeks; week++) {
    const lag = ((1 - DRIFT_WEIGHT) / DRIFT_WEIGHT) * (1 - (1 - DRIFT_WEIGHT) ** week);
    const seen = spread > 0 ? tCdf((perWeek * (week - lag)) / spread - width, Infinity) : 1;
    if (ninetyPercent === null && seen >= 0.9) ninetyPercent = week;
    if (1 - seen < 1e-4) return { mean, ninetyPercent: ninetyPercent ?? week };
    mean += 1 - seen;
  }
  return null;
}
