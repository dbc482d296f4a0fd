const slopes = new Float64Array(1200);

/**
 * Theil-Sen slope: the median of the slopes of all pairs, kg/s (Theil 1950, Sen 1968; recalled, not looked up).
 * What: slope of `masses_kg` against `times_s` over indices `from` (inclusive) to `to` (exclusive).
 * Purpose: a causal slope that one knock or one wrong reading can't turn round.
 * Conditions: pairs at equal times are skipped; null with fewer than three points or without a usable pair.
 * Longer windows than 48 points are thinned evenly, so that a call costs a bounded time.
 */
export function theilSenSlope(
  times_s: readonly number[],
  masses_kg: readonly number[],
  from: number,
  to: number,
): number | null {
  const count = to - from;
  if (count < 3) return null;
  const stride = Math.max(1, Math.ceil(count / 48));
  let pairs = 0;
  for (let i = from; i < to; i += stride) {
    const ti = times_s[i] ?? 0;
    const mi = masses_kg[i] ?? 0;
    for (let j = i + stride; j < to; j += stride) {
      const dt = (times_s[j] ?? 0) - ti;
      if (dt > 0) slopes[pairs++] = ((masses_kg[j] ?? 0) - mi) / dt;
    }
  }
  return pairs === 0 ? null : middle(slopes.subarray(0, pairs));
}

/** Median of a list (mean of the two middle ones of an even count); null of an empty one. The list is left as it was. */
export function medianOf(values: ArrayLike<number>): number | null {
  return values.length === 0 ? null : middle(Float64Array.from(values));
}

/** Median by Hoare's selection (textbook): the same value as from a whole sort, in a third of the time. Reorders `scratch`. */
function middle(scratch: Float64Array): number {
  const half = scratch.length >> 1;
  let low = 0;
  let high = scratch.length - 1;
  while (low < high) {
    const pivot = scratch[(low + high) >> 1]!;
    let i = low;
    let j = high;
    while (i <= j) {
      while (scratch[i]! < pivot) i++;
      while (scratch[j]! > pivot) j--;
      if (i > j) break;
      const kept = scratch[i]!;
      scratch[i++] = scratch[j]!;
      scratch[j--] = kept;
    }
    if (half <= j) high = j;
    else if (half >= i) low = i;
    else break;
  }
  const upper = scratch[half]!;
  if (scratch.length % 2 === 1) return upper;
  let lower = -Infinity;
  for (let i = 0; i < half; i++) if (scratch[i]! > lower) lower = scratch[i]!;
  return (upper + lower) / 2;
}
