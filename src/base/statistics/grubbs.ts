import { ok, refused } from '../outcome.ts';
import type { Outcome } from '../outcome.ts';
import { tQuantile } from './distributions.ts';
import { meanAndDeviation } from './mean-and-deviation.ts';

/** Fewer values than this say nothing: with three, the largest G possible is 1.1547 and the critical one 1.1543. */
export const FEWEST_FOR_GRUBBS = 8;

export interface GrubbsTest {
  /** Largest |value − mean| / s. */
  readonly statistic: number;
  readonly criticalValue: number;
  /** Which value it was. */
  readonly index: number;
  readonly isOutlier: boolean;
  readonly significance: number;
  readonly sides: 'one-sided' | 'two-sided';
}

/**
 * What: is the value farthest from the mean farther than chance allows?
 * Purpose: pointing at one doubtful catch among the STANDARDISED residuals of a whole sweep; never within one setting.
 *   It points; only a person strikes.
 * Formula: G = max|x − x̄|/s (divisor n − 1); critical (n−1)/√n · √(t²/(n−2+t²)), t at 1 − α/n (one-sided) or 1 − α/(2n), n − 2 df.
 * Source: Grubbs as in NIST/SEMATECH e-Handbook 1.3.5.17.1.
 * Conditions: Gaussian but for at most one. Refused under eight values (`not-enough-readings`), or when all are equal.
 * @example grubbsTest([1, 2, 1, 2, 1, 2, 1, 2, 90]) // index 8, an outlier
 */
export function grubbsTest(
  values: ArrayLike<number>,
  significance = 0.05,
  sides: 'one-sided' | 'two-sided' = 'two-sided',
): Outcome<GrubbsTest> {
  const n = values.length;
  if (n < FEWEST_FOR_GRUBBS) {
    return refused('not-enough-readings', { count: n, needed: FEWEST_FOR_GRUBBS });
  }
  const { mean, standardDeviation } = meanAndDeviation(values);
  if (standardDeviation === null || !(standardDeviation > 0)) return refused('not-enough-readings');
  let index = 0;
  for (let i = 1; i < n; i++) {
    if (Math.abs(values[i]! - mean) > Math.abs(values[index]! - mean)) index = i;
  }
  const statistic = Math.abs(values[index]! - mean) / standardDeviation;
  const t = tQuantile(1 - significance / (sides === 'one-sided' ? n : 2 * n), n - 2);
  const criticalValue = ((n - 1) / Math.sqrt(n)) * Math.sqrt((t * t) / (n - 2 + t * t));
  return ok(
    Object.freeze({
      statistic,
      criticalValue,
      index,
      isOutlier: statistic > criticalValue,
      significance,
      sides,
    }),
  );
}
