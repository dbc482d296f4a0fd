import { median } from '../../base/statistics/median.ts';
import { ordinaryLine } from '../../base/statistics/ordinary-line.ts';
import { firstAtOrAfter } from '../flow/steady-window.ts';
import { averaged, partition } from './partition.ts';
import type { StretchCost } from './partition.ts';

/** Numbers of the segmentation (measurement study, section 4): found 5 of 5 plateaus in ≥ 98 % of simulated pours of 5 s and longer. */
export const BLOCK_s = 0.2;
const VARIANCE_WINDOW_s = 4;
export const PENALTY = 10;
export const SHORTEST_PIECE_s = 1.6;
export const SHORTEST_KEPT_s = 2.5;
const MERGE_RELATIVE = 0.02;
const MERGE_SHORT = 0.3;
const MERGE_NEARER_THAN_s = 2.6;
/** A turn of the control takes no longer. */
export const TURN_AT_MOST_s = 4;
export type HowToCut = 'plain' | 'nearby' | 'pieces';
/** Back trim of a plateau, s. */
export const PLATEAU_BACK_TRIM_s = 0.4;

export interface Plateau {
  /** Borders before trimming. */
  readonly start_s: number;
  readonly stop_s: number;
  readonly slope_kg_per_s: number;
}

/**
 * What: the stretches of steady flow in one pour whose setting was changed while it ran.
 * Method: readings averaged to 5 Hz; piecewise lines by optimal partitioning (dynamic programming over all borders), cost = residual
 * sum of squares, penalty 10·ln(n)·s² a piece, s² the median residual variance of 4 s line fits; no piece under 1.6 s; pieces under
 * 2.5 s dropped (the dial being turned); neighbours less than 2.6 s apart whose slopes agree within 2 % + 0.3/D^1.5 are one (D: the
 * shorter one's seconds). Source: measurement study, section 4; Jackson 2005 (recalled).
 * `how`: 'plain' as above. 'nearby': s² is the median of the windows within 8 s only. A jet that pushes with the square of the flow makes the high
 * settings noisier than the low ones, which one s² for the whole pour then cuts in pieces. 'pieces': the same, and pieces under 4 s,
 * which may be the turn of the control itself, are not joined with what follows.
 * Columns: times ascending, NaN where no mass was shown. Never throws; nothing to find gives an empty list.
 */
export function findPlateaus(
  time_s: ArrayLike<number>,
  mass_kg: ArrayLike<number>,
  count: number,
  start_s: number,
  stop_s: number,
  how: HowToCut = 'plain',
): Plateau[] {
  const first = firstAtOrAfter(time_s, count, start_s);
  const blocks = averaged(time_s, mass_kg, { first, count, start_s, stop_s }, BLOCK_s);
  const n = blocks.time_s.length;
  const shortest = Math.max(3, Math.round(SHORTEST_PIECE_s / BLOCK_s));
  if (n < 2 * shortest) return [];
  const sums = new LineSums(blocks.time_s, blocks.values);
  const price = PENALTY * Math.log(n);
  const nearby = how === 'plain' ? null : nearbyVariance(sums, n);
  const penalty =
    nearby === null ? price * typicalVariance(sums, n) : (from: number): number => price * nearby(from);
  const borders = partition(sums, n, shortest, penalty);
  const pieces = borders.map(([from, to]): Plateau => ({
    start_s: blocks.time_s[from]! - BLOCK_s / 2,
    stop_s: blocks.time_s[to - 1]! + BLOCK_s / 2,
    slope_kg_per_s:
      ordinaryLine(blocks.time_s.subarray(from, to), blocks.values.subarray(from, to))?.slope ?? 0,
  }));
  const kept = pieces.filter((piece) => piece.stop_s - piece.start_s >= SHORTEST_KEPT_s);
  return merged(kept, how === 'pieces' ? TURN_AT_MOST_s : 0);
}

/** Residual sum of squares of a line through any stretch, in constant time from running sums about the first point. */
class LineSums implements StretchCost {
  private readonly x: Float64Array;
  private readonly y: Float64Array;
  private readonly xx: Float64Array;
  private readonly xy: Float64Array;
  private readonly yy: Float64Array;

  constructor(x: Float64Array, y: Float64Array) {
    const n = x.length;
    // About a common line, so that differences of large sums lose no digits.
    const slope = (y[n - 1]! - y[0]!) / (x[n - 1]! - x[0]!);
    const sum = (): Float64Array => new Float64Array(n + 1);
    [this.x, this.y, this.xx, this.xy, this.yy] = [sum(), sum(), sum(), sum(), sum()];
    for (let i = 0; i < n; i++) {
      const dx = x[i]! - x[0]!;
      const dy = y[i]! - y[0]! - slope * dx;
      this.x[i + 1] = this.x[i]! + dx;
      this.y[i + 1] = this.y[i]! + dy;
      this.xx[i + 1] = this.xx[i]! + dx * dx;
      this.xy[i + 1] = this.xy[i]! + dx * dy;
      this.yy[i + 1] = this.yy[i]! + dy * dy;
    }
  }

  residual(from: number, to: number): number {
    const m = to - from;
    const x = this.x[to]! - this.x[from]!;
    const y = this.y[to]! - this.y[from]!;
    const sxx = this.xx[to]! - this.xx[from]! - (x * x) / m;
    const sxy = this.xy[to]! - this.xy[from]! - (x * y) / m;
    const syy = this.yy[to]! - this.yy[from]! - (y * y) / m;
    return Math.max(0, sxx > 0 ? syy - (sxy * sxy) / sxx : syy);
  }
}

/** A pour without any noise (arithmetic) still needs a price for a border. */
const LEAST_VARIANCE_kg2 = 1e-14;

function typicalVariance(sums: LineSums, n: number): number {
  return Math.max(median(windowVariances(sums, n).map(({ variance }) => variance)), LEAST_VARIANCE_kg2);
}

function windowVariances(
  sums: LineSums,
  n: number,
): { readonly middle: number; readonly variance: number }[] {
  const length = Math.min(n, Math.round(VARIANCE_WINDOW_s / BLOCK_s));
  const variances: { middle: number; variance: number }[] = [];
  for (let from = 0; from + length <= n; from += Math.max(1, length >> 1)) {
    const variance = sums.residual(from, from + length) / Math.max(1, length - 2);
    variances.push({ middle: from + length / 2, variance });
  }
  return variances;
}

/** Windows so near to a border speak for its noise. */
const NEARBY_s = 8;

function nearbyVariance(sums: LineSums, n: number): (from: number) => number {
  const windows = windowVariances(sums, n);
  const reach = NEARBY_s / BLOCK_s;
  const all = typicalVariance(sums, n);
  return (from) => {
    const near = windows.filter(({ middle }) => Math.abs(middle - from) <= reach);
    return near.length < 3 ? all : Math.max(median(near.map(({ variance }) => variance)), LEAST_VARIANCE_kg2);
  };
}

function merged(pieces: readonly Plateau[], longerThan_s: number): Plateau[] {
  const result: Plateau[] = [];
  for (const piece of pieces) {
    const last = result[result.length - 1];
    if (last !== undefined && shorter_s(last, piece) >= longerThan_s && isSame(last, piece)) {
      const [a, b] = [last.stop_s - last.start_s, piece.stop_s - piece.start_s];
      result[result.length - 1] = {
        start_s: last.start_s,
        stop_s: piece.stop_s,
        slope_kg_per_s: (last.slope_kg_per_s * a + piece.slope_kg_per_s * b) / (a + b),
      };
    } else result.push(piece);
  }
  return result;
}

function shorter_s(a: Plateau, b: Plateau): number {
  return Math.min(a.stop_s - a.start_s, b.stop_s - b.start_s);
}

function isSame(a: Plateau, b: Plateau): boolean {
  const mean = (Math.abs(a.slope_kg_per_s) + Math.abs(b.slope_kg_per_s)) / 2;
  const agrees =
    Math.abs(a.slope_kg_per_s - b.slope_kg_per_s) <=
    mean * (MERGE_RELATIVE + MERGE_SHORT / shorter_s(a, b) ** 1.5);
  return agrees && b.start_s - a.stop_s < MERGE_NEARER_THAN_s;
}
