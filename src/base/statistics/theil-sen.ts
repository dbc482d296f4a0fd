import { median } from './median.ts';

/**
 * What: the median of the slopes of all pairs of points with different x.
 * Purpose: a slope that up to 29 % of wild points can't carry away; the detector's causal slope.
 * Source: Theil 1950; Sen, J. Am. Stat. Assoc. 63 (1968) 1379 (both recalled, not looked up).
 * Cost: n(n − 1)/2 slopes and one sort; meant for tens of points, not thousands.
 * Returns null when no two points differ in x. Errors: RangeError when lengths differ.
 * @example theilSenSlope([0, 1, 2, 3], [0, 1, 2, 90]) // 15.5
 */
export function theilSenSlope(x: ArrayLike<number>, y: ArrayLike<number>): number | null {
  const slopes = pairSlopes(x, y);
  return slopes.length === 0 ? null : median(slopes);
}

/** Slopes of all pairs with different x, unsorted. */
export function pairSlopes(x: ArrayLike<number>, y: ArrayLike<number>): Float64Array {
  const n = x.length;
  if (y.length !== n) throw new RangeError('x and y must have one length');
  const slopes = new Float64Array((n * (n - 1)) / 2);
  let count = 0;
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++) {
      const dx = x[j]! - x[i]!;
      if (dx !== 0) slopes[count++] = (y[j]! - y[i]!) / dx;
    }
  }
  return slopes.subarray(0, count);
}
