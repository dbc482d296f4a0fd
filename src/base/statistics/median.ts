/**
 * What: the middle value; of an even number of values, the mean of the two in the middle.
 * Purpose: a location that half of the values may spoil without moving it far.
 * Errors: RangeError for no values: there is no median of nothing.
 * @example median([5, 1, 4, 2]) // 3
 */
export function median(values: ArrayLike<number>): number {
  const sorted = Float64Array.from(values).sort();
  const n = sorted.length;
  if (n === 0) throw new RangeError('a median needs at least one value');
  const half = n >> 1;
  return n % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
}

/** 1 / Φ⁻¹(3/4): makes the median absolute deviation of Gaussian values estimate their standard deviation. */
export const MAD_TO_SIGMA = 1.482602218505602;

/**
 * What: MAD scale = 1.4826 · median |value − centre|, the centre being the median unless given.
 * Purpose: a standard deviation that a minority of outliers can't blow up.
 * Conditions: residuals of a fit have centre 0 by construction: pass 0 (the two choices differ: check-values R2 trap).
 *   More than half of the values equal to the centre gives 0; the caller must expect that.
 * Errors: RangeError for no values.
 * @example madScale([1, 2, 3, 4, 100]) // 1.4826
 */
export function madScale(values: ArrayLike<number>, centre?: number): number {
  const middle = centre ?? median(values);
  return MAD_TO_SIGMA * median(Float64Array.from(values, (value) => Math.abs(value - middle)));
}
