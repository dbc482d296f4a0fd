/** Which definition of a sample quantile; numbers as in Hyndman & Fan 1996 (recalled). 6: (n+1)p, 7: 1+(n−1)p, 8: (n+1/3)p+1/3. */
export type QuantileType = 6 | 7 | 8;

/**
 * What: the value below which a share p of the sample lies, between neighbours by straight interpolation.
 * Purpose: percentiles of delays and errors. The types differ in small samples, so the caller names one.
 * Formula: position h as above, clamped to 1…n; x[⌊h⌋] + (h − ⌊h⌋)(x[⌊h⌋+1] − x[⌊h⌋]).
 * Source: NIST/SEMATECH e-Handbook 7.2.6.2.
 * Errors: RangeError for no values or p outside [0, 1].
 * @example quantile([1, 2, 3, 4, 5], 0.25, 7) // 2
 */
export function quantile(values: ArrayLike<number>, p: number, type: QuantileType): number {
  const sorted = Float64Array.from(values).sort();
  const n = sorted.length;
  if (n === 0) throw new RangeError('a quantile needs at least one value');
  if (!(p >= 0 && p <= 1)) throw new RangeError(`a share in [0, 1] is needed, not ${p}`);
  const position = Math.min(n, Math.max(1, rank(n, p, type)));
  const below = Math.floor(position);
  const low = sorted[below - 1]!;
  const high = sorted[Math.min(n, below + 1) - 1]!;
  return low + (position - below) * (high - low);
}

function rank(n: number, p: number, type: QuantileType): number {
  switch (type) {
    case 6:
      return (n + 1) * p;
    case 7:
      return 1 + (n - 1) * p;
    case 8:
      return (n + 1 / 3) * p + 1 / 3;
  }
}
