import { median } from '../../base/statistics/median.ts';

/** Readings further apart than this are too few for the catch detector to find a pour (it is made for 2-80 a second), s. */
export const SLOWEST_s = 1 / 1.5;
const LEAST_READINGS = 10;
const LOOKED_AT = 400;

/**
 * Are the readings too far apart to hear a pour? The usual spacing counts, so that gaps don't: the median of up to 400 spacings
 * spread over the whole. False under ten readings. `time_s` ascending.
 */
export function tooSlow(time_s: ArrayLike<number>): boolean {
  if (time_s.length < LEAST_READINGS) return false;
  const stride = Math.max(1, Math.floor(time_s.length / LOOKED_AT));
  const spacings: number[] = [];
  for (let i = 1; i < time_s.length; i += stride) spacings.push(time_s[i]! - time_s[i - 1]!);
  return median(spacings) > SLOWEST_s;
}
