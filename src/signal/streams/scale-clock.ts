import { followsArrival } from './follows-arrival.ts';
import { robustLine, timeAt, type NumberLine } from './number-line.ts';
import { numberReadings } from './number-readings.ts';

export interface ScaleClock {
  /** Time of every reading on the arrival axis, never decreasing; bundling and stalls taken off where that can be done. */
  readonly time_s: Float64Array;
  /** The scale's own period, in seconds of the host's clock; NaN with less than two readings. */
  readonly period_s: number;
  /** Readings that never came. */
  readonly missing: number;
  /** Where they are missing: before reading `index`. */
  readonly gaps: readonly { readonly index: number; readonly missing: number }[];
  /** `arrival`, or `partly`: readings were too few or too irregular to be counted, and their time is their arrival. */
  readonly method: 'reconstructed' | 'partly' | 'arrival';
}

/** Fewer readings tell no period. */
const MIN_READINGS = 20;
/** After a longer silence the scale may have been off: what follows is counted anew. */
const NEW_START_S = 3;
/** Scatter that bundling explains; more, beyond a fifth of the period too, is a scale that keeps no time. */
const BUNDLING_S = 0.016;
const PERIOD_SHARE = 0.2;
/** Lengths of the pieces tried where one straight line does not follow the scale's clock. */
const PIECES_S = [30, 10];

/**
 * The clock of a scale that sends no time, rebuilt from arrival alone: readings are numbered (`number-readings.ts`), and
 * a line through (number, arrival), with points off by more than 3 MAD-sigma set aside, gives their times. The period is
 * always that of the host's clock, never the nominal one. It is not to be worse than arrival: each unbroken run is tried as
 * one line, then in pieces, and what does not run at the rate of its arrivals (`follows-arrival.ts`) stays arrival.
 *
 * `arrival_s`: never decreasing, s. Method: measurement notes 2.2(1); the check and the fall-backs are ours.
 */
export function reconstructScaleClock(arrival_s: Float64Array): ScaleClock {
  const n = arrival_s.length;
  const time_s = Float64Array.from(arrival_s);
  const asArrived = { time_s, missing: 0, gaps: [], method: 'arrival' } as const;
  if (n < MIN_READINGS) {
    return { ...asArrived, period_s: n < 2 ? Number.NaN : (arrival_s[n - 1]! - arrival_s[0]!) / (n - 1) };
  }
  const numbered = numberReadings(arrival_s);
  if (!(numbered.period_s > 0)) return { ...asArrived, period_s: Number.NaN };
  const { number, gaps } = numbered;
  const silences = gaps.filter((gap) => gap.missing * numbered.period_s > NEW_START_S);
  const borders = [0, ...silences.map((gap) => gap.index), n];
  let period_s = numbered.period_s;
  let longest = 0;
  let rebuilt = 0;
  for (const [run, from] of borders.slice(0, -1).entries()) {
    const to = borders[run + 1]!;
    const slope = rebuildRun({ arrival_s, number, from, to, period_s: numbered.period_s }, time_s);
    if (slope === null) continue;
    rebuilt += to - from;
    if (to - from > longest) {
      longest = to - from;
      period_s = slope;
    }
  }
  if (rebuilt === 0) return { ...asArrived, period_s };
  return {
    time_s,
    period_s,
    missing: gaps.reduce((sum, gap) => sum + gap.missing, 0),
    gaps,
    method: rebuilt === n ? 'reconstructed' : 'partly',
  };
}

interface Run {
  readonly arrival_s: Float64Array;
  readonly number: Float64Array;
  readonly from: number;
  readonly to: number;
  readonly period_s: number;
}

/** Writes the times of one unbroken run over its arrivals; its period, or null where it has to stay as it arrived. */
function rebuildRun(run: Run, time_s: Float64Array): number | null {
  const { arrival_s, number, from, to, period_s } = run;
  if (to - from < MIN_READINGS) return null;
  const allowed_s = Math.max(BUNDLING_S, PERIOD_SHARE * period_s);
  for (const piece_s of [Number.POSITIVE_INFINITY, ...PIECES_S]) {
    const knots = fitPieces(run, Math.max(MIN_READINGS, Math.round(piece_s / period_s)));
    const scale_s = Math.max(...knots.map((line) => line.scale));
    if (scale_s <= allowed_s) {
      join(knots, number, from, to, time_s);
      if (followsArrival(arrival_s, time_s, from, to, period_s, scale_s)) {
        return (time_s[to - 1]! - time_s[from]!) / (number[to - 1]! - number[from]!);
      }
    }
  }
  time_s.set(arrival_s.subarray(from, to), from);
  return null;
}

/** Lines through pieces of `size` readings, the last one up to half as long again. */
function fitPieces({ arrival_s, number, from, to, period_s }: Run, size: number): NumberLine[] {
  const knots: NumberLine[] = [];
  for (let start = from; start < to;) {
    const end = to - start < 1.5 * size ? to : start + size;
    knots.push(robustLine(arrival_s, number, start, end, period_s));
    start = end;
  }
  return knots;
}

/** Straight from the middle of each piece to the middle of the next, the ends prolonged. */
function join(
  knots: readonly NumberLine[],
  number: Float64Array,
  from: number,
  to: number,
  time_s: Float64Array,
): void {
  let k = 0;
  for (let i = from; i < to; i += 1) {
    while (k + 2 < knots.length && number[i]! > knots[k + 1]!.middle) k += 1;
    const a = knots[k]!;
    const b = knots[k + 1];
    time_s[i] =
      b === undefined
        ? timeAt(a, number[i]!)
        : a.level + ((b.level - a.level) * (number[i]! - a.middle)) / (b.middle - a.middle);
  }
}
