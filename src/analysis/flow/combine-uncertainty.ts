import { tQuantile } from '../../base/statistics/distributions.ts';

/** As good as infinitely many: t(0.975) is then the normal 1.95996 to six digits, and the number stays finite in JSON. */
export const MOST_DEGREES_OF_FREEDOM = 1e6;

export interface UncertaintyPart {
  readonly standardUncertainty: number;
  /** Infinity for a part that is known, not estimated from scatter (Type B). */
  readonly degreesOfFreedom: number;
}

export interface CombinedUncertainty {
  readonly standardUncertainty: number;
  /** Finite: at most 10⁶. */
  readonly degreesOfFreedom: number;
  /** t(0.975, df)·u. */
  readonly expandedUncertainty95: number;
}

/**
 * What: independent parts combined: root sum of squares, effective degrees of freedom, expanded for 95 % two-sided.
 * Formula: u = √Σuᵢ², ν = u⁴/Σ(uᵢ⁴/νᵢ) (Welch-Satterthwaite), U = t(0.975, ν)·u, ν not rounded down.
 * Source: JCGM 100:2008 (GUM) 5.1.2, G.4.1; checked for 3-6 df beside a Type B part (measurement rule 11.18: 93.6-97.1 %).
 * Errors: RangeError for a part that is negative or not finite.
 */
export function combineUncertainty(parts: readonly UncertaintyPart[]): CombinedUncertainty {
  let sumOfSquares = 0;
  let sumOfFourths = 0;
  for (const { standardUncertainty: u, degreesOfFreedom } of parts) {
    if (!(u >= 0 && u < Infinity && degreesOfFreedom > 0)) {
      throw new RangeError('a standard uncertainty is a finite number that is not negative');
    }
    sumOfSquares += u * u;
    sumOfFourths += u ** 4 / degreesOfFreedom;
  }
  const effective = sumOfFourths > 0 ? sumOfSquares ** 2 / sumOfFourths : Infinity;
  const degreesOfFreedom = Math.min(MOST_DEGREES_OF_FREEDOM, effective);
  const standardUncertainty = Math.sqrt(sumOfSquares);
  return {
    standardUncertainty,
    degreesOfFreedom,
    expandedUncertainty95: tQuantile(0.975, degreesOfFreedom) * standardUncertainty,
  };
}
