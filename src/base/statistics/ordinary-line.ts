import { meanOf } from './mean-and-deviation.ts';

/** A straight line by ordinary least squares. Read `intercept` as the value at x = 0, far from the data when x is a late time. */
export interface OrdinaryLine {
  readonly method: 'ordinary least squares, free intercept';
  readonly n: number;
  /** n − 2. */
  readonly degreesOfFreedom: number;
  readonly slope: number;
  readonly intercept: number;
  readonly meanX: number;
  readonly meanY: number;
  /** Σ(x − x̄)². */
  readonly sxx: number;
  readonly residualSumOfSquares: number;
  /** √(RSS / (n − 2)); this and the three below are null when n = 2, where nothing is left to tell the scatter. */
  readonly residualStandardDeviation: number | null;
  readonly slopeStandardUncertainty: number | null;
  readonly interceptStandardUncertainty: number | null;
  readonly covariance: number | null;
  readonly residuals: Float64Array;
}

/**
 * What: y = intercept + slope·x minimising Σ residual².
 * Formula: slope = Σ(x−x̄)(y−ȳ)/Σ(x−x̄)², u²(slope) = s²/Sxx, u²(intercept) = s²(1/n + x̄²/Sxx), cov = −x̄ s²/Sxx.
 * Divisor: n − 2. Sums are centred first: with epoch milliseconds as x, uncentred sums lose every digit.
 * Source: NIST/SEMATECH e-Handbook 4.1.4.1; GUM (JCGM 100:2008) H.3.
 * Conditions: the uncertainties hold for independent errors of one size in y. Readings of a scale are NOT that
 *   (measured on simulation: the textbook 95 % interval covers 52 %): a catch takes its ± from `analysis/flow`.
 * Returns null when x has fewer than two distinct values. Errors: RangeError when lengths differ.
 * @example ordinaryLine([0, 1, 2], [1, 3, 5])?.slope // 2
 */
export function ordinaryLine(x: ArrayLike<number>, y: ArrayLike<number>): OrdinaryLine | null {
  const n = x.length;
  if (y.length !== n) throw new RangeError('x and y must have one length');
  if (n < 2) return null;
  const meanX = meanOf(x);
  const meanY = meanOf(y);
  let sxx = 0;
  let sxy = 0;
  for (let i = 0; i < n; i++) {
    const dx = x[i]! - meanX;
    sxx += dx * dx;
    sxy += dx * (y[i]! - meanY);
  }
  if (!(sxx > 0)) return null;
  const slope = sxy / sxx;
  const residuals = new Float64Array(n);
  let residualSumOfSquares = 0;
  for (let i = 0; i < n; i++) {
    const residual = y[i]! - meanY - slope * (x[i]! - meanX);
    residuals[i] = residual;
    residualSumOfSquares += residual * residual;
  }
  const degreesOfFreedom = n - 2;
  const variance = degreesOfFreedom > 0 ? residualSumOfSquares / degreesOfFreedom : null;
  return Object.freeze({
    method: 'ordinary least squares, free intercept',
    n,
    degreesOfFreedom,
    slope,
    intercept: meanY - slope * meanX,
    meanX,
    meanY,
    sxx,
    residualSumOfSquares,
    residualStandardDeviation: variance === null ? null : Math.sqrt(variance),
    slopeStandardUncertainty: variance === null ? null : Math.sqrt(variance / sxx),
    interceptStandardUncertainty:
      variance === null ? null : Math.sqrt(variance * (1 / n + (meanX * meanX) / sxx)),
    covariance: variance === null ? null : (-meanX * variance) / sxx,
    residuals,
  });
}

/** Value of the line at x, about the centre of the data so that no digits are lost. */
export function lineAt(line: OrdinaryLine, x: number): number {
  return line.meanY + line.slope * (x - line.meanX);
}
