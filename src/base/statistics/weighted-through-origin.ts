export interface WeightedLineThroughOrigin {
  readonly method: 'weighted least squares through the origin, known uncertainties';
  readonly n: number;
  /** n − 1: of the chi-square. */
  readonly degreesOfFreedom: number;
  readonly slope: number;
  /** From the stated uncertainties alone; NOT scaled by the chi-square, which is there to be looked at. */
  readonly slopeStandardUncertainty: number;
  /** Σ (residual/u)². */
  readonly chiSquare: number;
  readonly residuals: Float64Array;
}

/**
 * What: y = slope·x minimising Σ (residual/u)², each point with its own known standard uncertainty.
 * Purpose: the nozzle constant, where the pressure's doubt makes low settings worth less than high ones.
 * Formula: w = 1/u²; slope = Σwxy/Σwx²; u²(slope) = 1/Σwx².
 * Source: standard weighted least squares (Gauss-Markov); from memory, checked against the equal-weight certified sets.
 * Conditions: independent errors. A part shared by all points must stay out of u: it does not average out.
 * Returns null when every x is 0. Errors: RangeError when lengths differ or a u is not positive.
 * @example weightedLineThroughOrigin([1, 2], [3, 6], [1, 1])?.slope // 3
 */
export function weightedLineThroughOrigin(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  standardUncertainty: ArrayLike<number>,
): WeightedLineThroughOrigin | null {
  const n = x.length;
  if (y.length !== n || standardUncertainty.length !== n) {
    throw new RangeError('x, y and their uncertainties must have one length');
  }
  let xx = 0;
  let xy = 0;
  for (let i = 0; i < n; i++) {
    const u = standardUncertainty[i]!;
    if (!(u > 0 && u < Infinity)) throw new RangeError(`a positive uncertainty is needed, not ${u}`);
    const scaled = x[i]! / u;
    xx += scaled * scaled;
    xy += scaled * (y[i]! / u);
  }
  if (!(xx > 0)) return null;
  const slope = xy / xx;
  const residuals = Float64Array.from({ length: n }, (_, i) => y[i]! - slope * x[i]!);
  const chiSquare = residuals.reduce((sum, r, i) => sum + (r / standardUncertainty[i]!) ** 2, 0);
  return Object.freeze({
    method: 'weighted least squares through the origin, known uncertainties',
    n,
    degreesOfFreedom: n - 1,
    slope,
    slopeStandardUncertainty: 1 / Math.sqrt(xx),
    chiSquare,
    residuals,
  });
}
