/** One part of a combined standard uncertainty: its size in the result's unit, and its degrees of freedom (Infinity: known). */
export interface UncertaintyPart {
  readonly standardUncertainty: number;
  readonly degreesOfFreedom: number;
}

export interface CombinedUncertainty {
  readonly standardUncertainty: number;
  /** Effective degrees of freedom, not rounded down; Infinity when every part that counts is known. */
  readonly degreesOfFreedom: number;
}

/**
 * What: root sum of squares of independent parts, and the degrees of freedom its t should have.
 * Formula: ν_eff = u⁴ / Σ (uᵢ⁴/νᵢ). Source: GUM (JCGM 100:2008) G.4.1, Welch-Satterthwaite.
 * Conditions: independent parts, nearly Gaussian. Feed unrounded parts: rounded ones give other degrees of freedom (GUM H.1).
 * Errors: RangeError for a negative or not finite u, or degrees of freedom not above zero.
 * @example combineUncertainty([{ standardUncertainty: 3, degreesOfFreedom: 4 }, { standardUncertainty: 4, degreesOfFreedom: Infinity }]) // u 5
 */
export function combineUncertainty(parts: readonly UncertaintyPart[]): CombinedUncertainty {
  let largest = 0;
  for (const { standardUncertainty: u, degreesOfFreedom } of parts) {
    if (!(u >= 0 && u < Infinity)) throw new RangeError(`not a standard uncertainty: ${u}`);
    if (!(degreesOfFreedom > 0)) throw new RangeError('degrees of freedom must be above zero');
    largest = Math.max(largest, u);
  }
  if (largest === 0) return { standardUncertainty: 0, degreesOfFreedom: Infinity };
  // Relative to the largest part, so that fourth powers of 1e-8 m³/s do not vanish.
  let squares = 0;
  let fourths = 0;
  for (const part of parts) {
    const share = (part.standardUncertainty / largest) ** 2;
    squares += share;
    fourths += (share * share) / part.degreesOfFreedom;
  }
  return {
    standardUncertainty: largest * Math.sqrt(squares),
    degreesOfFreedom: fourths > 0 ? (squares * squares) / fourths : Infinity,
  };
}
