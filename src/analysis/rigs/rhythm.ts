import { ordinaryLine } from '../../base/statistics/ordinary-line.ts';

export interface Rhythm {
  /** Time between two strokes as it was, s. */
  readonly period_s: number;
  /** Amplitude of the swing of the shown mass at that period, kg. */
  readonly amplitude_kg: number;
}

/** Looked for this far to both sides of the beat: at half or twice the beat other strokes' multiples would be found. */
const NARROWEST = 0.7;
const WIDEST = 1.4;
/** A peak this many times the middle power stands out: of 100 places without a rhythm one has 7 (arithmetic: ln 100 / ln 2). */
const STANDS_OUT = 14;

/**
 * What: the rhythm of a hand pump in the readings: the highest peak of the least-squares periodogram of the residuals of a line, between
 * 0.7 and 1.4 beats, refined by a parabola through three places.
 * Formula: for each frequency the residuals are fitted by a cosine and a sine; power = their reduction of the sum of squares.
 * Source: least-squares spectrum for uneven times: Lomb 1976, Scargle 1982 (recalled, not looked up).
 * Columns: times ascending, masses finite, of the steady part only. Null when no rhythm stands out, or under four beats.
 */
export function rhythmOf(
  time_s: ArrayLike<number>,
  mass_kg: ArrayLike<number>,
  beat_s: number,
): Rhythm | null {
  const n = time_s.length;
  const length_s = n > 0 ? time_s[n - 1]! - time_s[0]! : 0;
  const line = ordinaryLine(time_s, mass_kg);
  if (line === null || !(beat_s > 0) || length_s < 4 * beat_s) return null;
  // A tenth of the width of a peak: a parabola through three of them finds the top.
  const step_Hz = 0.1 / length_s;
  const from_Hz = 1 / (WIDEST * beat_s);
  const places = Math.ceil((1 / (NARROWEST * beat_s) - from_Hz) / step_Hz);
  const powers = Float64Array.from({ length: places }, (_, i) =>
    power(time_s, line.residuals, from_Hz + i * step_Hz),
  );
  let top = 0;
  for (let i = 1; i < places; i++) if (powers[i]! > powers[top]!) top = i;
  const middle = Float64Array.from(powers).sort()[places >> 1]!;
  const [left, peak, right] = [powers[top - 1], powers[top]!, powers[top + 1]];
  if (left === undefined || right === undefined || !(peak > STANDS_OUT * middle)) return null;
  const shift = (0.5 * (left - right)) / (left - 2 * peak + right);
  return {
    period_s: 1 / (from_Hz + (top + shift) * step_Hz),
    amplitude_kg: Math.sqrt((2 * peak) / n),
  };
}

function power(time_s: ArrayLike<number>, residuals: Float64Array, frequency_Hz: number): number {
  const omega = 2 * Math.PI * frequency_Hz;
  let [cc, cs, ss, rc, rs] = [0, 0, 0, 0, 0];
  for (let i = 0; i < residuals.length; i++) {
    const angle = omega * (time_s[i]! - time_s[0]!);
    const c = Math.cos(angle);
    const s = Math.sin(angle);
    cc += c * c;
    cs += c * s;
    ss += s * s;
    rc += residuals[i]! * c;
    rs += residuals[i]! * s;
  }
  const det = cc * ss - cs * cs;
  return det > 0 ? (ss * rc * rc - 2 * cs * rc * rs + cc * rs * rs) / det : 0;
}
