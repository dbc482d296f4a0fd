import { chiSquareCdf } from './distributions.ts';

export interface LackOfFit {
  readonly chiSquare: number;
  readonly degreesOfFreedom: number;
  /** Probability of a chi-square at least this large if the model and the stated uncertainties hold. */
  readonly pValue: number;
}

/**
 * What: do the residuals exceed their stated uncertainties by more than chance?
 * Formula: χ² = Σ (residual/u)²; p = 1 − F(χ², n − fitted parameters).
 * Conditions: u must hold everything that is independent from point to point and nothing that is shared: with shared parts in it
 *   the test goes blind, and with a pressure set once it must be fed setting means. An F test against repeats at an untouched dial
 *   is NOT a substitute: the repeats do not hold the dial's error (measured on simulation: wrong 66-100 % of the time).
 * Returns null when no degrees of freedom are left. Errors: RangeError when lengths differ or a u is not positive.
 * @example lackOfFit([1, -1, 1], [1, 1, 1], 1) // chiSquare 3, 2 df, pValue 0.22313
 */
export function lackOfFit(
  residuals: ArrayLike<number>,
  standardUncertainty: ArrayLike<number>,
  fittedParameters: number,
): LackOfFit | null {
  const n = residuals.length;
  if (standardUncertainty.length !== n) throw new RangeError('residuals and u must have one length');
  const degreesOfFreedom = n - fittedParameters;
  if (degreesOfFreedom < 1) return null;
  let chiSquare = 0;
  for (let i = 0; i < n; i++) {
    const u = standardUncertainty[i]!;
    if (!(u > 0)) throw new RangeError(`a positive uncertainty is needed, not ${u}`);
    chiSquare += (residuals[i]! / u) ** 2;
  }
  return Object.freeze({
    chiSquare,
    degreesOfFreedom,
    pValue: Math.min(1, Math.max(0, 1 - chiSquareCdf(chiSquare, degreesOfFreedom))),
  });
}
