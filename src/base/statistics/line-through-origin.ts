export interface LineThroughOrigin {
  readonly method: 'ordinary least squares through the origin';
  readonly n: number;
  /** n − 1. */
  readonly degreesOfFreedom: number;
  readonly slope: number;
  readonly residualSumOfSquares: number;
  /** √(RSS / (n − 1)); null for one point. */
  readonly residualStandardDeviation: number | null;
  readonly slopeStandardUncertainty: number | null;
  readonly residuals: Float64Array;
}

/**
 * What: y = slope·x minimising Σ residual², the line held at the origin.
 * Purpose: flow against √pressure when nothing is known of the errors but their equality.
 * Formula: slope = Σxy/Σx², u²(slope) = s²/Σx². Divisor: n − 1.
 * Source: NIST StRD linear sets NoInt1 and NoInt2 (certified; tests/published).
 * Conditions: independent errors of one size in y. R² through the origin is about zero, not the mean: none is given.
 * Returns null when every x is 0 (or there is no point). Errors: RangeError when lengths differ.
 * @example lineThroughOrigin([1, 2], [3, 6])?.slope // 3
 */
export function lineThroughOrigin(x: ArrayLike<number>, y: ArrayLike<number>): LineThroughOrigin | null {
  const n = x.length;
  if (y.length !== n) throw new RangeError('x and y must have one length');
  let xx = 0;
  let xy = 0;
  for (let i = 0; i < n; i++) {
    xx += x[i]! * x[i]!;
    xy += x[i]! * y[i]!;
  }
  if (!(xx > 0)) return null;
  const slope = xy / xx;
  const residuals = Float64Array.from({ length: n }, (_, i) => y[i]! - slope * x[i]!);
  const residualSumOfSquares = residuals.reduce((sum, residual) => sum + residual * residual, 0);
  const variance = n > 1 ? residualSumOfSquares / (n - 1) : null;
  return Object.freeze({
    method: 'ordinary least squares through the origin',
    n,
    degreesOfFreedom: n - 1,
    slope,
    residualSumOfSquares,
    residualStandardDeviation: variance === null ? null : Math.sqrt(variance),
    slopeStandardUncertainty: variance === null ? null : Math.sqrt(variance / xx),
    residuals,
  });
}
