import { ok, refused } from '../outcome.ts';
import type { Outcome } from '../outcome.ts';
import { ordinaryLine } from './ordinary-line.ts';

export interface PowerLaw {
  readonly method: 'least squares in y, Gauss-Newton';
  readonly n: number;
  /** n − 2. */
  readonly degreesOfFreedom: number;
  /** y = coefficient · x^exponent. */
  readonly coefficient: number;
  readonly exponent: number;
  /** Equal errors: scaled by RSS/(n − 2), null when n = 2. Known uncertainties: from them alone, not scaled. */
  readonly coefficientStandardUncertainty: number | null;
  readonly exponentStandardUncertainty: number | null;
  readonly covariance: number | null;
  /** Σ residual², or Σ (residual/u)² when uncertainties were given. */
  readonly sumOfSquares: number;
  readonly residuals: Float64Array;
  readonly iterations: number;
}

/**
 * What: y = k·x^n minimising Σ (residual/u)² IN y. A straight line through the logarithms answers another question
 *   (equal relative errors) and gives other numbers: it is only the start here.
 * Purpose: the free exponent of a flow curve, an alarm beside the square-root law.
 * Formula: Gauss-Newton with step halving on (value at the geometric mean of x, n), which keeps the two nearly independent;
 *   then carried to (k, n) with their covariance.
 * Source: checked against NIST StRD DanWood (certified; tests/published).
 * Refused: `setting-not-positive` / `flow-not-positive` when an x or y is not above zero, `too-few-settings` with fewer than
 *   two distinct x, `fit-did-not-settle`. Errors: RangeError when lengths differ or a u is not positive.
 * @example powerLaw([1, 4, 9], [2, 4, 6]) // coefficient 2, exponent 0.5
 */
export function powerLaw(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  standardUncertainty?: ArrayLike<number>,
): Outcome<PowerLaw> {
  const n = x.length;
  if (y.length !== n || (standardUncertainty !== undefined && standardUncertainty.length !== n)) {
    throw new RangeError('x, y and their uncertainties must have one length');
  }
  const logX = new Float64Array(n);
  const logY = new Float64Array(n);
  const inverseU = new Float64Array(n).fill(1);
  for (let i = 0; i < n; i++) {
    if (!(x[i]! > 0)) return refused('setting-not-positive');
    if (!(y[i]! > 0)) return refused('flow-not-positive');
    logX[i] = Math.log(x[i]!);
    logY[i] = Math.log(y[i]!);
    if (standardUncertainty !== undefined) {
      if (!(standardUncertainty[i]! > 0)) throw new RangeError('positive uncertainties are needed');
      inverseU[i] = 1 / standardUncertainty[i]!;
    }
  }
  const start = ordinaryLine(logX, logY);
  if (start === null) return refused('too-few-settings');
  const ratio = logX.map((value) => value - start.meanX); // ln(x / geometric mean)

  let exponent = start.slope;
  let level = Math.exp(start.meanY);
  let sum = sumOfSquares(level, exponent);
  let iterations = 0;
  let settled = false;
  while (!settled) {
    if (++iterations > 100) return refused('fit-did-not-settle');
    const normal = normalMatrix();
    const determinant = normal.aa * normal.bb - normal.ab * normal.ab;
    if (!(determinant > 0)) return refused('fit-did-not-settle');
    const stepLevel = (normal.bb * normal.ga - normal.ab * normal.gb) / determinant;
    const stepExponent = (normal.aa * normal.gb - normal.ab * normal.ga) / determinant;
    let share = 1;
    let next = sumOfSquares(level + stepLevel, exponent + stepExponent);
    // Near the minimum a true step changes the sum by less than its rounding: a rise of 1e-10 is no rise.
    while (!(next <= sum * (1 + 1e-10))) {
      share /= 2;
      if (share < 1e-6) return refused('fit-did-not-settle');
      next = sumOfSquares(level + share * stepLevel, exponent + share * stepExponent);
    }
    level += share * stepLevel;
    exponent += share * stepExponent;
    sum = next;
    settled = Math.abs(stepLevel) <= 1e-11 * level && Math.abs(stepExponent) <= 1e-11;
  }
  if (!(level > 0)) return refused('fit-did-not-settle');
  const normal = normalMatrix();

  const determinant = normal.aa * normal.bb - normal.ab * normal.ab;
  const degreesOfFreedom = n - 2;
  const scale = standardUncertainty !== undefined ? 1 : degreesOfFreedom > 0 ? sum / degreesOfFreedom : null;
  const coefficient = level * Math.exp(-exponent * start.meanX);
  const residuals = Float64Array.from({ length: n }, (_, i) => y[i]! - model(level, exponent, i));
  let uncertainties: [number | null, number | null, number | null] = [null, null, null];
  if (scale !== null) {
    const varLevel = (scale * normal.bb) / determinant / (level * level);
    const varExponent = (scale * normal.aa) / determinant;
    const mixed = (-scale * normal.ab) / determinant / level;
    // ln k = ln level − n·mean(ln x)
    const varLnK = varLevel + start.meanX ** 2 * varExponent - 2 * start.meanX * mixed;
    uncertainties = [
      coefficient * Math.sqrt(varLnK),
      Math.sqrt(varExponent),
      coefficient * (mixed - start.meanX * varExponent),
    ];
  }
  return ok(
    Object.freeze({
      method: 'least squares in y, Gauss-Newton',
      n,
      degreesOfFreedom,
      coefficient,
      exponent,
      coefficientStandardUncertainty: uncertainties[0],
      exponentStandardUncertainty: uncertainties[1],
      covariance: uncertainties[2],
      sumOfSquares: sum,
      residuals,
      iterations,
    }),
  );

  function model(atLevel: number, atExponent: number, i: number): number {
    return atLevel * Math.exp(atExponent * ratio[i]!);
  }

  function sumOfSquares(atLevel: number, atExponent: number): number {
    let total = 0;
    for (let i = 0; i < n; i++) total += ((y[i]! - model(atLevel, atExponent, i)) * inverseU[i]!) ** 2;
    return total;
  }

  /** JᵀJ and Jᵀr at the present level (a) and exponent (b). */
  function normalMatrix() {
    let [aa, ab, bb, ga, gb] = [0, 0, 0, 0, 0];
    for (let i = 0; i < n; i++) {
      const w = inverseU[i]!;
      const power = Math.exp(exponent * ratio[i]!);
      const a = power * w;
      const b = level * power * ratio[i]! * w;
      const r = (y[i]! - level * power) * w;
      aa += a * a;
      ab += a * b;
      bb += b * b;
      ga += a * r;
      gb += b * r;
    }
    return { aa, ab, bb, ga, gb };
  }
}
