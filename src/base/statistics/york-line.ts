import { ordinaryLine } from './ordinary-line.ts';

export interface YorkLine {
  readonly method: 'York, errors in both coordinates, independent';
  readonly n: number;
  /** n − 2. */
  readonly degreesOfFreedom: number;
  readonly slope: number;
  readonly intercept: number;
  /** From the stated uncertainties alone, not scaled. */
  readonly slopeStandardUncertainty: number;
  readonly interceptStandardUncertainty: number;
  /** Σ W (y − intercept − slope·x)², W = 1/(u_y² + slope²·u_x²). */
  readonly sumOfSquares: number;
  readonly iterations: number;
}

/**
 * What: a straight line when x was READ with an error of its own, as y was.
 * Purpose: the exponent over a pressure that a sensor read (in logarithms). Not for a dial that was SET to a number: there the
 *   reading is exact and the pressure scatters about it (Berkson), and this line over-corrects (simulated: 0.513 for 0.5).
 * Formula: York et al., Am. J. Phys. 72 (2004) 367, eqs 13a-13d with no correlation (recalled); repeated until the slope stands.
 * Conditions: independent Gaussian errors, known sizes. A shared error of x (a sensor's offset) must stay out of u_x.
 * Returns null when x has fewer than two distinct values or the slope does not settle. Errors: RangeError when lengths differ,
 * an uncertainty is negative or not finite, or both of a point are zero.
 * @example yorkLine([0, 1, 2], [1, 3, 5], [0.1, 0.1, 0.1], [0.1, 0.1, 0.1])?.slope // 2
 */
export function yorkLine(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  xStandardUncertainty: ArrayLike<number>,
  yStandardUncertainty: ArrayLike<number>,
): YorkLine | null {
  const n = x.length;
  if (y.length !== n || xStandardUncertainty.length !== n || yStandardUncertainty.length !== n) {
    throw new RangeError('x, y and their uncertainties must have one length');
  }
  for (let i = 0; i < n; i++) {
    const [ux, uy] = [xStandardUncertainty[i]!, yStandardUncertainty[i]!];
    if (!(ux >= 0 && uy >= 0 && ux + uy > 0 && ux + uy < Infinity)) {
      throw new RangeError(`not uncertainties: ${ux}, ${uy}`);
    }
  }
  const start = ordinaryLine(x, y);
  if (start === null) return null;
  let slope = start.slope;
  for (let iterations = 1; iterations <= 200; iterations++) {
    const now = turn(slope);
    if (now === null || !Number.isFinite(now.slope)) return null;
    const moved = Math.abs(now.slope - slope);
    slope = now.slope;
    if (moved > 1e-13 * Math.abs(slope)) continue;
    return finished(slope, iterations);
  }
  return null;

  function turn(b: number) {
    const weights = Float64Array.from({ length: n }, (_, i) => {
      return 1 / (yStandardUncertainty[i]! ** 2 + b * b * xStandardUncertainty[i]! ** 2);
    });
    if (!weights.every((w) => w < Infinity)) return null;
    let [sw, swx, swy] = [0, 0, 0];
    for (let i = 0; i < n; i++) {
      sw += weights[i]!;
      swx += weights[i]! * (x[i]! - start!.meanX);
      swy += weights[i]! * (y[i]! - start!.meanY);
    }
    const meanX = start!.meanX + swx / sw;
    const meanY = start!.meanY + swy / sw;
    const adjusted = new Float64Array(n);
    let [up, down] = [0, 0];
    for (let i = 0; i < n; i++) {
      const u = x[i]! - meanX;
      const v = y[i]! - meanY;
      const beta = weights[i]! * (u * yStandardUncertainty[i]! ** 2 + b * v * xStandardUncertainty[i]! ** 2);
      adjusted[i] = beta;
      up += weights[i]! * beta * v;
      down += weights[i]! * beta * u;
    }
    return { slope: up / down, weights, sw, meanX, meanY, adjusted };
  }

  function finished(b: number, iterations: number): YorkLine | null {
    const last = turn(b);
    if (last === null) return null;
    const { weights, sw, meanX, meanY, adjusted } = last;
    const meanAdjusted = adjusted.reduce((sum, beta, i) => sum + weights[i]! * beta, 0) / sw;
    const spread = adjusted.reduce((sum, beta, i) => sum + weights[i]! * (beta - meanAdjusted) ** 2, 0);
    const slopeVariance = 1 / spread;
    const intercept = meanY - b * meanX;
    let sumOfSquares = 0;
    for (let i = 0; i < n; i++) sumOfSquares += weights[i]! * (y[i]! - meanY - b * (x[i]! - meanX)) ** 2;
    return Object.freeze({
      method: 'York, errors in both coordinates, independent',
      n,
      degreesOfFreedom: n - 2,
      slope: b,
      intercept,
      slopeStandardUncertainty: Math.sqrt(slopeVariance),
      interceptStandardUncertainty: Math.sqrt(1 / sw + (meanX + meanAdjusted) ** 2 * slopeVariance),
      sumOfSquares,
      iterations,
    });
  }
}
