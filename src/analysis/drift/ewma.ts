/** Weight of the newest check (measurement 7). */
export const DRIFT_WEIGHT = 0.4;

/**
 * What: exponentially weighted moving average, zᵢ = λxᵢ + (1 − λ)zᵢ₋₁.
 * Source: NIST/SEMATECH e-Handbook 6.3.2.4 (its example is a test here).
 * @param start z₀, what holds before the first value. @returns one average a value, in the values' unit.
 * Errors: RangeError for a weight outside (0, 1].
 * @example ewma([52, 47], 0.3, 50) // 50.6, 49.52
 */
export function ewma(values: readonly number[], weight: number, start: number): readonly number[] {
  let average = start;
  return values.map((value) => (average = nextEwma(average, value, weight)));
}

export function nextEwma(average: number, value: number, weight: number): number {
  if (!(weight > 0 && weight <= 1)) throw new RangeError(`a weight is in (0, 1], not ${weight}`);
  return weight * value + (1 - weight) * average;
}

/**
 * What: standard deviation of the i-th average about the true level, in units of one value's.
 * Formula: √(λ/(2−λ)·(1−(1−λ)^2i) + (1−(1−λ)^i)²/nb) (measurement 7): the second term is the error of a baseline that is itself the mean
 *   of nb values; the first is the usual one of the e-Handbook.
 * @param count i, 1 for the first value; Infinity: after many. @param baseline nb; Infinity: the level is known.
 * Errors: RangeError for a count or baseline under 1.
 */
export function ewmaSpread(weight: number, count: number, baseline: number): number {
  if (!(count >= 1 && baseline >= 1)) throw new RangeError('a count and a baseline are 1 or more');
  const forgotten = (1 - weight) ** count;
  return Math.sqrt((weight / (2 - weight)) * (1 - forgotten ** 2) + (1 - forgotten) ** 2 / baseline);
}
