import { fCdf, fQuantile } from './distributions.ts';

export interface LackOfFitFromRepeats {
  /** Mean square of the levels' mean residuals over that of the repeats about their level. */
  readonly statistic: number;
  /** Levels − fitted parameters. */
  readonly numeratorDegreesOfFreedom: number;
  /** Readings − levels. */
  readonly denominatorDegreesOfFreedom: number;
  /** Probability of an F at least this large if the model holds. */
  readonly pValue: number;
  readonly criticalValue: number;
  readonly significance: number;
  readonly exceeds: boolean;
  readonly lackOfFitSumOfSquares: number;
  readonly pureErrorSumOfSquares: number;
  /** √(pure error / its degrees of freedom): what one reading scatters by. */
  readonly repeatDeviation: number;
}

/**
 * What: does a fitted shape miss the levels' means by more than the repeats at each level scatter?
 * Purpose: linearity of a scale or a meter, where the levels are known loads and only the repeats scatter.
 * Formula: F = [Σ nⱼ r̄ⱼ²/(m − p)] / [ΣΣ (r − r̄ⱼ)²/(n − m)], m levels (equal x), p fitted parameters, r the fit's residuals.
 * Source: NIST/SEMATECH e-Handbook 4.6.1.5 (load cell); Penn State STAT 501, 2.11. Both are checked in tests/published.
 * Conditions: x free of error. NOT for a curve over a dial: repeats at an untouched dial do not hold the dial's error, and the
 *   test is then wrong 66-100 % of the time (simulated); `lackOfFit` with stated uncertainties is for that.
 * Returns null when no level is repeated, no degrees of freedom are left, or the repeats do not differ at all.
 * Errors: RangeError when lengths differ.
 * @example lackOfFitFromRepeats([1, 1, 2, 2, 3, 3], [1, 3, -5, -3, 1, 3], 2)?.statistic // 24
 */
export function lackOfFitFromRepeats(
  x: ArrayLike<number>,
  residuals: ArrayLike<number>,
  fittedParameters: number,
  significance = 0.05,
): LackOfFitFromRepeats | null {
  const n = x.length;
  if (residuals.length !== n) throw new RangeError('x and residuals must have one length');
  const levels = new Map<number, number[]>();
  for (let i = 0; i < n; i++) {
    const level = levels.get(x[i]!);
    if (level === undefined) levels.set(x[i]!, [residuals[i]!]);
    else level.push(residuals[i]!);
  }
  const numeratorDegreesOfFreedom = levels.size - fittedParameters;
  const denominatorDegreesOfFreedom = n - levels.size;
  if (numeratorDegreesOfFreedom < 1 || denominatorDegreesOfFreedom < 1) return null;
  let lackOfFitSumOfSquares = 0;
  let pureErrorSumOfSquares = 0;
  for (const level of levels.values()) {
    const mean = level.reduce((sum, r) => sum + r, 0) / level.length;
    lackOfFitSumOfSquares += level.length * mean * mean;
    for (const r of level) pureErrorSumOfSquares += (r - mean) ** 2;
  }
  if (!(pureErrorSumOfSquares > 0)) return null;
  const pureError = pureErrorSumOfSquares / denominatorDegreesOfFreedom;
  const statistic = lackOfFitSumOfSquares / numeratorDegreesOfFreedom / pureError;
  const criticalValue = fQuantile(1 - significance, numeratorDegreesOfFreedom, denominatorDegreesOfFreedom);
  return Object.freeze({
    statistic,
    numeratorDegreesOfFreedom,
    denominatorDegreesOfFreedom,
    pValue: Math.min(
      1,
      Math.max(0, 1 - fCdf(statistic, numeratorDegreesOfFreedom, denominatorDegreesOfFreedom)),
    ),
    criticalValue,
    significance,
    exceeds: statistic > criticalValue,
    lackOfFitSumOfSquares,
    pureErrorSumOfSquares,
    repeatDeviation: Math.sqrt(pureError),
  });
}
