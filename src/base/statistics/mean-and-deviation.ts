export interface MeanAndDeviation {
  readonly n: number;
  readonly mean: number;
  /** Sample standard deviation, divisor n − 1; null for one value, which says nothing about scatter. */
  readonly standardDeviation: number | null;
  /** Standard uncertainty of the mean, s/√n, of independent values; null for one value. */
  readonly standardUncertaintyOfMean: number | null;
  /** n − 1. */
  readonly degreesOfFreedom: number;
}

/**
 * What: arithmetic mean, sample standard deviation and the standard uncertainty of the mean (GUM 4.2).
 * Formula: about the first value, then corrected, so that a large common offset costs no digits.
 * Divisor: n − 1.
 * Conditions: independent values; readings of a scale at 10 Hz are not.
 * Errors: RangeError for no values.
 * @example meanAndDeviation([2, 4, 6]) // mean 4, standardDeviation 2
 */
export function meanAndDeviation(values: ArrayLike<number>): MeanAndDeviation {
  const n = values.length;
  if (n === 0) throw new RangeError('a mean needs at least one value');
  const mean = meanOf(values);
  let squares = 0;
  for (let i = 0; i < n; i++) squares += (values[i]! - mean) ** 2;
  const standardDeviation = n > 1 ? Math.sqrt(squares / (n - 1)) : null;
  return Object.freeze({
    n,
    mean,
    standardDeviation,
    standardUncertaintyOfMean: standardDeviation === null ? null : standardDeviation / Math.sqrt(n),
    degreesOfFreedom: n - 1,
  });
}

/** The mean alone. Errors: RangeError for no values. */
export function meanOf(values: ArrayLike<number>): number {
  const n = values.length;
  if (n === 0) throw new RangeError('a mean needs at least one value');
  const first = values[0]!;
  let sum = 0;
  for (let i = 0; i < n; i++) sum += values[i]! - first;
  return first + sum / n;
}
