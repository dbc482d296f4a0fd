/**
 * What: the x > 0 at which a continuous increasing function reaches `wanted`.
 * Purpose: quantiles from distribution functions. Half of @stdlib's weight in the worker is its quantiles; their inverse is this.
 * Method: the bracket is doubled until it holds the root, then false position with the Illinois rule, halved where that is slow.
 * Converges to the last digits of a double; about ten to twenty evaluations.
 * Errors: RangeError when `wanted` isn't reached below 1e300.
 * @example invertIncreasing((x) => x * x, 2, 1) // 1.41421356
 */
export function invertIncreasing(f: (x: number) => number, wanted: number, guess: number): number {
  let low = 0;
  let high = guess;
  let atLow = f(0) - wanted;
  let atHigh = f(high) - wanted;
  while (atHigh < 0) {
    low = high;
    atLow = atHigh;
    high *= 2;
    if (high > 1e300) throw new RangeError(`${wanted} is never reached`);
    atHigh = f(high) - wanted;
  }
  for (let step = 0; step < 200 && high - low > 4 * Number.EPSILON * high; step += 1) {
    const span = high - low;
    // Every third step halves, so that a curve that is flat on one side can't stall the other.
    let x = step % 3 === 2 ? low + span / 2 : (low * atHigh - high * atLow) / (atHigh - atLow);
    if (!(x > low && x < high)) x = low + span / 2;
    const y = f(x) - wanted;
    if (y === 0) return x;
    if (y < 0) {
      low = x;
      atLow = y;
      if (step % 3 !== 2) atHigh /= 2;
    } else {
      high = x;
      atHigh = y;
      if (step % 3 !== 2) atLow /= 2;
    }
  }
  return low + (high - low) / 2;
}
