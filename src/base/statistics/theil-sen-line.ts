import { normalQuantile } from './distributions.ts';
import { median } from './median.ts';
import { pairSlopes } from './theil-sen.ts';

export interface TheilSenLine {
  readonly method: 'Theil-Sen';
  readonly n: number;
  /** Pairs with different x. */
  readonly pairs: number;
  readonly slope: number;
  /** median(y) − slope · median(x). */
  readonly intercept: number;
  /** Confidence interval of the slope; null when the sample is too small for one at this confidence. */
  readonly slopeInterval: readonly [number, number] | null;
  readonly confidence: number;
}

/**
 * What: the Theil-Sen line and Sen's distribution-free confidence interval of its slope.
 * Formula: C = z·√(n(n−1)(2n+5)/18); the bounds are the slopes ranked round((N − C)/2) and round((N + C)/2) + 1 among N.
 * Source: Hollander & Wolfe, Nonparametric Statistical Methods (1999), as in R package statpsych `ci.theil`;
 *   the rounding of the ranks is ours, chosen to give the published interval (tests/published).
 * Conditions: independent errors. On coloured noise the interval is as wrong as the textbook one.
 * @example theilSenLine([0, 1, 2, 3], [1, 3, 5, 7])?.slope // 2
 */
export function theilSenLine(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  confidence = 0.95,
): TheilSenLine | null {
  const slopes = pairSlopes(x, y).sort();
  const pairs = slopes.length;
  if (pairs === 0) return null;
  const n = x.length;
  const slope = median(slopes);
  const spread = normalQuantile((1 + confidence) / 2) * Math.sqrt((n * (n - 1) * (2 * n + 5)) / 18);
  const low = slopes[Math.round((pairs - spread) / 2) - 1];
  const high = slopes[Math.round((pairs + spread) / 2)];
  return Object.freeze({
    method: 'Theil-Sen',
    n,
    pairs,
    slope,
    intercept: median(y) - slope * median(x),
    slopeInterval: low === undefined || high === undefined ? null : ([low, high] as const),
    confidence,
  });
}
