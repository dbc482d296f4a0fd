/** Shortest quiet time that tells a drip from the display's own flicker, s. */
export const LEAST_QUIET_S = 4;
/** After the valve: the tip and the hose still run out, s. */
export const RUN_OUT_S = 2.5;

/**
 * Rise of the pail after shut-off, kg/s, never negative: least squares through the readings of
 * `stop_s` + 2.5 s ≤ time ≤ `until_s`. Null with under 4 s of readings or fewer than eight of them.
 * `until_s` is the next event (water, lift, knock, end). Readings without a number are left out.
 */
export function dripAfter(
  samples: Iterable<{ readonly time_s: number; readonly mass_kg: number | null }>,
  stop_s: number,
  until_s: number,
): number | null {
  const from_s = stop_s + RUN_OUT_S;
  let n = 0;
  let t = 0;
  let m = 0;
  let tt = 0;
  let tm = 0;
  let first_s = 0;
  let first_kg = 0;
  let last_s = 0;
  for (const { time_s, mass_kg } of samples) {
    if (mass_kg === null || !Number.isFinite(mass_kg) || time_s < from_s || time_s > until_s) continue;
    if (n === 0) {
      first_s = time_s;
      first_kg = mass_kg;
    }
    const dt = time_s - first_s;
    const dm = mass_kg - first_kg;
    n++;
    t += dt;
    m += dm;
    tt += dt * dt;
    tm += dt * dm;
    last_s = time_s;
  }
  if (n < 8 || last_s - first_s < LEAST_QUIET_S * 0.98) return null;
  const sxx = tt - (t * t) / n;
  return sxx <= 0 ? null : Math.max(0, (tm - (t * m) / n) / sxx);
}
