import { ok, refused, type Outcome } from '../../base/outcome.ts';
import { meanAndDeviation } from '../../base/statistics/mean-and-deviation.ts';

/** So long nothing may happen, and so long are the stretches whose means are compared (measurement notes 11.16). */
export const QUIET_S = 10;
const STRETCHES = 5;
const LEAST_PER_STRETCH = 3;
/** Range of five means that white noise exceeds once in a thousand (studentised range, infinite df; from memory). */
const RANGE_OF_FIVE = 5.5;
/** Wander that is too much, as a share of what is put on. */
const WANDER_OF_LOAD = 5e-4;
/** Filter length of a scale that did not tell it, readings. */
const UNKNOWN_FILTER = 8;

export interface QuietLevel {
  readonly mean_kg: number;
  readonly standardUncertainty_kg: number;
  readonly degreesOfFreedom: number;
  /** Largest difference between the means of 2 s. */
  readonly wander_kg: number;
  readonly readings: number;
  /** Every reading the same: a very quiet display, or one that holds its number. */
  readonly identical: boolean;
}

export interface QuietOptions {
  /** Display's step, kg; 0 or null: too fine to matter. */
  readonly step_kg: number | null;
  readonly averagedReadings: number | null;
  /** What is or will be put on: wander is judged against it. */
  readonly expected_kg: number;
}

/**
 * What: the level of a quiet scale over 10 s from `from_s`, and what it is worth.
 * Formula: u² = s²/5 (five means of 2 s, 4 degrees of freedom) + (drift over the 10 s)²/12 + step²/12.
 * The drift is the straight line's rise through the means: a level that creeps is anywhere between its ends. The step is never averaged
 * away: a display that does not flicker repeats its rounding in every reading.
 * Refused: `not-enough-readings`; `wind-or-touch` when the means wander by more than one step, white noise and 0.05 % of what is
 * put on explain (facts: `wander_kg`, `limit_kg`). White noise is taken from differences over a filter's length, which slow wind doesn't enter.
 * Columns of one length, times ascending, NaN where nothing was shown.
 */
export function quietLevel(
  time_s: ArrayLike<number>,
  mass_kg: ArrayLike<number>,
  from_s: number,
  options: QuietOptions,
): Outcome<QuietLevel> {
  const stretches: number[][] = Array.from({ length: STRETCHES }, () => []);
  const all: number[] = [];
  for (let i = 0; i < time_s.length; i++) {
    const at = Math.floor(((time_s[i]! - from_s) / QUIET_S) * STRETCHES);
    if (at < 0 || at >= STRETCHES || !Number.isFinite(mass_kg[i])) continue;
    stretches[at]!.push(mass_kg[i]!);
    all.push(mass_kg[i]!);
  }
  if (stretches.some((stretch) => stretch.length < LEAST_PER_STRETCH)) {
    return refused('not-enough-readings', { readings: all.length });
  }
  const means = stretches.map((stretch) => meanAndDeviation(stretch).mean);
  const filter = options.averagedReadings ?? UNKNOWN_FILTER;
  const step_kg = options.step_kg ?? 0;
  const wander_kg = Math.max(...means) - Math.min(...means);
  const ofMean_kg = whiteNoise(all, filter) * Math.sqrt((filter * STRETCHES) / all.length);
  const limit_kg = Math.max(step_kg, RANGE_OF_FIVE * ofMean_kg, WANDER_OF_LOAD * options.expected_kg);
  // Equal to a whisker is not more: steps are binary fractions.
  if (wander_kg > limit_kg * (1 + 1e-9)) return refused('wind-or-touch', { wander_kg, limit_kg });
  const { mean, standardDeviation } = meanAndDeviation(means);
  const drift_kg = means.reduce((sum, value, i) => sum + (i - 2) * (value - mean), 0) / 2;
  const scatter = (standardDeviation ?? 0) / Math.sqrt(STRETCHES);
  const u = Math.hypot(scatter, drift_kg / Math.sqrt(12), step_kg / Math.sqrt(12));
  return ok({
    mean_kg: mean,
    standardUncertainty_kg: u,
    // Welch-Satterthwaite with the other two parts known.
    degreesOfFreedom: scatter > 0 ? Math.min(1e6, (STRETCHES - 1) * (u / scatter) ** 4) : 1e6,
    wander_kg,
    readings: all.length,
    identical: all.every((value) => value === all[0]),
  });
}

/** Standard deviation without what is slower than the filter: from differences of readings one filter length apart. */
function whiteNoise(values: readonly number[], lag: number): number {
  if (values.length <= lag) return 0;
  let squares = 0;
  for (let i = lag; i < values.length; i++) squares += (values[i]! - values[i - lag]!) ** 2;
  return Math.sqrt(squares / (values.length - lag) / 2);
}
