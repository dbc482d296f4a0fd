export interface PooledDeviation {
  readonly standardDeviation: number;
  /** Σ (nᵢ − 1) over the groups. */
  readonly degreesOfFreedom: number;
  /** Σ over groups of Σ (value − mean of its group)²: the "pure error" of a lack-of-fit table. */
  readonly sumOfSquares: number;
}

/**
 * What: one standard deviation from several groups of repeats, each about its own mean.
 * Purpose: repeatability of a catch from few repeats at each setting (2 + 2 + 2 … degrees of freedom instead of 2).
 * Formula: √(ΣΣ (x − x̄ᵢ)² / Σ(nᵢ − 1)). Source: NIST/SEMATECH e-Handbook 2.3.3.3.3 level-1 pooling (recalled).
 * Conditions: one true deviation in all groups; scale the values first if it changes in a known way.
 * Returns null when no group has two values.
 * @example pooledDeviation([[1, 3], [10, 12], [5]])?.standardDeviation // 1.41421
 */
export function pooledDeviation(groups: Iterable<ArrayLike<number>>): PooledDeviation | null {
  let sumOfSquares = 0;
  let degreesOfFreedom = 0;
  for (const group of groups) {
    const n = group.length;
    if (n < 2) continue;
    const first = group[0]!;
    let mean = 0;
    for (let i = 0; i < n; i++) mean += (group[i]! - first) / n;
    for (let i = 0; i < n; i++) sumOfSquares += (group[i]! - first - mean) ** 2;
    degreesOfFreedom += n - 1;
  }
  if (degreesOfFreedom === 0) return null;
  return Object.freeze({
    standardDeviation: Math.sqrt(sumOfSquares / degreesOfFreedom),
    degreesOfFreedom,
    sumOfSquares,
  });
}
