import { MAD_TO_SIGMA, median } from '../../base/statistics/median.ts';
import { numberReadings } from './number-readings.ts';

export interface ScaleClock {
  /** Time of every reading on the arrival axis, bundling and stalls taken off; strictly increasing with its number. */
  readonly time_s: Float64Array;
  /** The scale's own period, in seconds of the host's clock; NaN with less than two readings. */
  readonly period_s: number;
  /** Readings that never came. */
  readonly missing: number;
  /** Where they are missing: before reading `index`. */
  readonly gaps: readonly { readonly index: number; readonly missing: number }[];
  /** `arrival`: the readings are too few or too irregular to be counted; `time_s` is arrival then. */
  readonly method: 'reconstructed' | 'arrival';
}

/** Fewer readings tell no period. */
const MIN_READINGS = 20;
/** A longer silence: the scale may have been off, so what follows is counted anew. */
const NEW_START_S = 3;
/** Lateness that bundling explains; scatter beyond it, and beyond a fifth of the period, is a scale that keeps no time. */
const BUNDLING_S = 0.016;
const PERIOD_SHARE = 0.2;
const REJECT_SIGMAS = 3;
const PASSES = 4;
/** How long one straight line is trusted to follow the scale's clock before it is checked against arrival. */
const BLOCK_S = 60;

/**
 * The clock of a scale that sends no time, rebuilt from arrival alone: readings are numbered (a step of more than 0.6
 * period is a reading that never came, see `number-readings.ts`), and a line through (number, arrival), with points off
 * by more than 3 MAD-sigma set aside, gives their times. The period is always that of the host's clock, never the
 * nominal one. Long recordings are fitted in pieces, so that a wandering clock is followed; where a line does not
 * describe the arrivals (a polled or irregular scale) their times stay arrival.
 *
 * `arrival_s`: never decreasing, s. Method: measurement notes 2.2(1); the fall-backs are ours.
 */
export function reconstructScaleClock(arrival_s: Float64Array): ScaleClock {
  const asArrived = (period_s: number): ScaleClock => ({
    time_s: Float64Array.from(arrival_s),
    period_s,
    missing: 0,
    gaps: [],
    method: 'arrival',
  });
  const n = arrival_s.length;
  if (n < MIN_READINGS) return asArrived(n < 2 ? Number.NaN : (arrival_s[n - 1]! - arrival_s[0]!) / (n - 1));
  const numbered = numberReadings(arrival_s);
  const { number, gaps } = numbered;
  let { period_s } = numbered;
  if (!(period_s > 0)) return asArrived(Number.NaN);
  const time_s = new Float64Array(n);
  const starts = [
    0,
    ...gaps.filter((gap) => gap.missing * period_s > NEW_START_S).map((gap) => gap.index),
    n,
  ];
  let longest = 0;
  for (let s = 0; s + 1 < starts.length; s += 1) {
    const from = starts[s]!;
    const to = starts[s + 1]!;
    const slope = fitStart(arrival_s, number, from, to, period_s, time_s);
    if (slope === null) return asArrived(period_s);
    if (to - from > longest) {
      longest = to - from;
      period_s = slope;
    }
  }
  return {
    time_s,
    period_s,
    missing: gaps.reduce((sum, gap) => sum + gap.missing, 0),
    gaps,
    method: 'reconstructed',
  };
}

interface Line {
  readonly slope: number;
  /** Value at `middle`. */
  readonly level: number;
  readonly middle: number;
  readonly scale: number;
}

/** Fits one unbroken run into `time_s`; its period, or null where no line describes it. */
function fitStart(
  arrival_s: Float64Array,
  number: Float64Array,
  from: number,
  to: number,
  period_s: number,
  time_s: Float64Array,
): number | null {
  const allowed_s = Math.max(BUNDLING_S, PERIOD_SHARE * period_s);
  const whole = robustLine(arrival_s, number, from, to, period_s);
  if (whole.scale <= allowed_s && isStraight(arrival_s, number, from, to, whole)) {
    for (let i = from; i < to; i += 1) time_s[i] = at(whole, number[i]!);
    return whole.slope;
  }
  // In pieces: knots at the middle of each, joined by straight lines, the ends prolonged.
  const size = Math.max(MIN_READINGS, Math.round(BLOCK_S / period_s / 2));
  const knots: Line[] = [];
  for (let start = from; start < to; start += size) {
    const end = to - start < 1.5 * size ? to : start + size;
    const line = robustLine(arrival_s, number, start, end, period_s);
    if (line.scale > allowed_s) return null;
    knots.push(line);
    if (end === to) break;
  }
  let k = 0;
  for (let i = from; i < to; i += 1) {
    while (k + 2 < knots.length && number[i]! > knots[k + 1]!.middle) k += 1;
    time_s[i] = between(knots[k]!, knots[k + 1], number[i]!);
  }
  return whole.slope;
}

function at(line: Line, number: number): number {
  return line.level + line.slope * (number - line.middle);
}

function between(a: Line, b: Line | undefined, number: number): number {
  if (b === undefined) return at(a, number);
  return a.level + ((b.level - a.level) * (number - a.middle)) / (b.middle - a.middle);
}

/** No stretch of a minute lies off the line by more than a quarter of its scatter (or half a millisecond). */
function isStraight(
  arrival_s: Float64Array,
  number: Float64Array,
  from: number,
  to: number,
  line: Line,
): boolean {
  const size = Math.max(50, Math.round(BLOCK_S / line.slope / 4));
  const limit_s = Math.max(5e-4, 0.25 * line.scale) + (3 * line.scale) / Math.sqrt(size);
  for (let start = from; start + size <= to; start += size) {
    const off = Float64Array.from(
      { length: size },
      (_, i) => arrival_s[start + i]! - at(line, number[start + i]!),
    );
    if (Math.abs(median(off)) > limit_s) return false;
  }
  return true;
}

/** Least squares on (number, arrival), points off by more than 3 MAD-sigma set aside, repeated. */
function robustLine(
  arrival_s: Float64Array,
  number: Float64Array,
  from: number,
  to: number,
  period_s: number,
): Line {
  const n = to - from;
  const residual = new Float64Array(n);
  let slope = period_s;
  let middle = number[from]!;
  let level = arrival_s[from]!;
  let limit = Number.POSITIVE_INFINITY;
  let scale = 0;
  for (let pass = 0; pass < PASSES; pass += 1) {
    let count = 0;
    let sumX = 0;
    let sumY = 0;
    for (let i = 0; i < n; i += 1) {
      if (Math.abs(residual[i]!) > limit) continue;
      count += 1;
      sumX += number[from + i]!;
      sumY += arrival_s[from + i]!;
    }
    const meanX = sumX / count;
    const meanY = sumY / count;
    let sxx = 0;
    let sxy = 0;
    for (let i = 0; i < n; i += 1) {
      if (Math.abs(residual[i]!) > limit) continue;
      const x = number[from + i]! - meanX;
      sxx += x * x;
      sxy += x * (arrival_s[from + i]! - meanY);
    }
    if (sxx > 0) slope = sxy / sxx;
    middle = meanX;
    level = meanY;
    for (let i = 0; i < n; i += 1) {
      residual[i] = arrival_s[from + i]! - (level + slope * (number[from + i]! - middle));
    }
    const centre = median(residual);
    for (let i = 0; i < n; i += 1) residual[i]! -= centre;
    level += centre;
    scale = MAD_TO_SIGMA * median(residual.map(Math.abs));
    limit = REJECT_SIGMAS * Math.max(scale, 1e-4);
  }
  return { slope, level, middle, scale };
}
