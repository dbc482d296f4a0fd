import { theilSenSlope } from '../../base/statistics/theil-sen.ts';

/** Shortest quiet time that tells a drip from the display's own flicker, s. */
export const LEAST_QUIET_S = 4;
/** After the valve: the tip and the hose still run out, s. */
export const RUN_OUT_S = 2.5;
/** Readings are averaged over this long: a mean of many tells less than a display's step. */
const BLOCK_S = 0.4;

/**
 * Rise of the pail after shut-off, kg/s, never negative: Theil-Sen slope through means of 0.4 s of the readings of
 * `stop_s` + 2.5 s ≤ time ≤ `until_s`, so that a knock on the pail in between (up to 29 % of the time) doesn't look like water.
 * Null with under 4 s of readings or fewer than eight of them.
 * `until_s` is the next event (water, lift, knock, end). Readings without a number are left out.
 */
export function dripAfter(
  samples: Iterable<{ readonly time_s: number; readonly mass_kg: number | null }>,
  stop_s: number,
  until_s: number,
): number | null {
  const from_s = stop_s + RUN_OUT_S;
  const times: number[] = [];
  const masses: number[] = [];
  let first_s = NaN;
  let last_s = NaN;
  let n = 0;
  let block = -1;
  let inBlock = 0;
  for (const { time_s, mass_kg } of samples) {
    if (mass_kg === null || !Number.isFinite(mass_kg) || time_s < from_s || time_s > until_s) continue;
    if (n === 0) first_s = time_s;
    last_s = time_s;
    n += 1;
    const here = Math.floor((time_s - first_s) / BLOCK_S);
    if (here === block) {
      inBlock += 1;
      const i = times.length - 1;
      times[i]! += (time_s - times[i]!) / inBlock;
      masses[i]! += (mass_kg - masses[i]!) / inBlock;
    } else {
      block = here;
      inBlock = 1;
      times.push(time_s);
      masses.push(mass_kg);
    }
  }
  if (n < 8 || last_s - first_s < LEAST_QUIET_S * 0.98) return null;
  const slope = theilSenSlope(times, masses);
  return slope === null ? null : Math.max(0, slope);
}
