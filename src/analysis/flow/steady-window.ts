import { ok, refused } from '../../base/outcome.ts';
import type { Outcome } from '../../base/outcome.ts';

/** Cut from the front when the length of the scale's own moving average is known, before the filter itself is added. */
export const FRONT_TRIM_s = 1.0;
/** Cut from the front when nothing is known of the filter: covers eight readings at 10 Hz (measurement rule 11.15). */
export const FRONT_TRIM_FILTER_UNKNOWN_s = 1.7;
export const BACK_TRIM_s = 0.3;
export const SHORTEST_WINDOW_s = 6;
export const FEWEST_READINGS = 20;

/** The part of a catch in which the mass rises as a straight line: readings `first` … `end − 1` of the columns. */
export interface SteadyWindow {
  readonly first: number;
  /** One past the last. */
  readonly end: number;
  /** Borders after trimming, s; the first and last reading lie inside. */
  readonly from_s: number;
  readonly to_s: number;
}

export interface Trims {
  /** Seconds after the start edge, or the scale's filter as readings; see `frontTrim_s`. */
  readonly averagedReadings: number | null;
  /** Default 0.3 s; a plateau of a longer pour uses 0.4 s. */
  readonly backTrim_s?: number;
  /** Step of the display, kg, where it is known: a jump of less than three is no sign of a hand. */
  readonly step_kg?: number | null;
}

/** Seconds cut after the start edge: 1.0 s and the filter's length where it is known, else 1.7 s. */
export function frontTrim_s(averagedReadings: number | null, period_s: number): number {
  return averagedReadings === null
    ? FRONT_TRIM_FILTER_UNKNOWN_s
    : FRONT_TRIM_s + Math.max(0, averagedReadings - 1) * period_s;
}

/**
 * What: the steady window of a catch between refined edges.
 * Purpose: opening lag, the jet's first push, the scale's filter and the closing lag stay out of the slope.
 * Source: measurement study, section 2.2 (2) and rule 11.15.
 * `time_s` ascending. Refused `no-steady-window` under 6 s or under 20 readings that show a mass.
 */
export function steadyWindow(
  time_s: ArrayLike<number>,
  mass_kg: ArrayLike<number>,
  count: number,
  start_s: number,
  stop_s: number,
  trims: Trims,
): Outcome<SteadyWindow> {
  const from = firstAtOrAfter(time_s, count, start_s);
  const to = firstAtOrAfter(time_s, count, stop_s);
  const period_s = to - from > 1 ? (time_s[to - 1]! - time_s[from]!) / (to - from - 1) : 0;
  const from_s = start_s + frontTrim_s(trims.averagedReadings, period_s);
  const to_s = stop_s - (trims.backTrim_s ?? BACK_TRIM_s);
  const first = firstAtOrAfter(time_s, count, from_s);
  let end = firstAtOrAfter(time_s, count, to_s);
  while (end < count && time_s[end]! <= to_s) end++;
  let shown = 0;
  for (let i = first; i < end; i++) if (Number.isFinite(mass_kg[i]!)) shown++;
  if (to_s - from_s < SHORTEST_WINDOW_s || shown < FEWEST_READINGS) {
    return refused('no-steady-window', { window_s: Math.max(0, to_s - from_s), readings: shown });
  }
  return ok({ first, end, from_s, to_s });
}

/** Index of the first time ≥ `wanted_s`; `count` if there is none. */
export function firstAtOrAfter(time_s: ArrayLike<number>, count: number, wanted_s: number): number {
  let low = 0;
  let high = count;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (time_s[middle]! < wanted_s) low = middle + 1;
    else high = middle;
  }
  return low;
}
