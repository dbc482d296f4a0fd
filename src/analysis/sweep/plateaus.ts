import { median } from '../../base/statistics/median.ts';
import { ordinaryLine } from '../../base/statistics/ordinary-line.ts';
import { firstAtOrAfter } from '../flow/steady-window.ts';

/** Numbers of the segmentation (measurement study, section 4): found 5 of 5 plateaus in ≥ 98 % of simulated pours of 5 s and longer. */
const BLOCK_s = 0.2;
const VARIANCE_WINDOW_s = 4;
const PENALTY = 10;
const SHORTEST_PIECE_s = 1.6;
const SHORTEST_KEPT_s = 2.5;
const MERGE_RELATIVE = 0.02;
const MERGE_SHORT = 0.3;
const MERGE_NEARER_THAN_s = 2.6;
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
 * Columns: times ascending, NaN where no mass was shown. Never throws; nothing to find gives an empty list.
 */
export function findPlateaus(
  time_s: ArrayLike<number>,
  mass_kg: ArrayLike<number>,
  count: number,
  start_s: number,
  stop_s: number,
): Plateau[] {
  const blocks = averaged(time_s, mass_kg, count, start_s, stop_s);
  const n = blocks.time_s.length;
  const shortest = Math.max(3, Math.round(SHORTEST_PIECE_s / BLOCK_s));
  if (n < 2 * shortest) return [];
  const sums = new LineSums(blocks.time_s, blocks.mass_kg);
  const penalty = PENALTY * Math.log(n) * typicalVariance(sums, n);
  const borders = partition(sums, n, shortest, penalty);
  const pieces = borders.map(([from, to]): Plateau => ({
    start_s: blocks.time_s[from]! - BLOCK_s / 2,
    stop_s: blocks.time_s[to - 1]! + BLOCK_s / 2,
    slope_kg_per_s:
      ordinaryLine(blocks.time_s.subarray(from, to), blocks.mass_kg.subarray(from, to))?.slope ?? 0,
  }));
  return merged(pieces.filter((piece) => piece.stop_s - piece.start_s >= SHORTEST_KEPT_s));
}

function averaged(
  time_s: ArrayLike<number>,
  mass_kg: ArrayLike<number>,
  count: number,
  start_s: number,
  stop_s: number,
): { readonly time_s: Float64Array; readonly mass_kg: Float64Array } {
  const times: number[] = [];
  const masses: number[] = [];
  let block = -1;
  let inBlock = 0;
  for (let i = firstAtOrAfter(time_s, count, start_s); i < count && time_s[i]! <= stop_s; i++) {
    if (!Number.isFinite(mass_kg[i]!)) continue;
    const of = Math.floor((time_s[i]! - start_s) / BLOCK_s);
    if (of !== block) {
      times.push(0);
      masses.push(0);
      block = of;
      inBlock = 0;
    }
    const last = times.length - 1;
    inBlock++;
    times[last]! += (time_s[i]! - times[last]!) / inBlock;
    masses[last]! += (mass_kg[i]! - masses[last]!) / inBlock;
  }
  return { time_s: Float64Array.from(times), mass_kg: Float64Array.from(masses) };
}

/** Residual sum of squares of a line through any stretch, in constant time from running sums about the first point. */
class LineSums {
  private readonly sums: readonly Float64Array[];

  constructor(x: Float64Array, y: Float64Array) {
    const n = x.length;
    // About a common line, so that differences of large sums lose no digits.
    const slope = (y[n - 1]! - y[0]!) / (x[n - 1]! - x[0]!);
    this.sums = [0, 1, 2, 3, 4].map(() => new Float64Array(n + 1));
    const [sx, sy, sxx, sxy, syy] = this.sums as [
      Float64Array,
      Float64Array,
      Float64Array,
      Float64Array,
      Float64Array,
    ];
    for (let i = 0; i < n; i++) {
      const dx = x[i]! - x[0]!;
      const dy = y[i]! - y[0]! - slope * dx;
      sx[i + 1] = sx[i]! + dx;
      sy[i + 1] = sy[i]! + dy;
      sxx[i + 1] = sxx[i]! + dx * dx;
      sxy[i + 1] = sxy[i]! + dx * dy;
      syy[i + 1] = syy[i]! + dy * dy;
    }
  }

  residual(from: number, to: number): number {
    const m = to - from;
    const [x, y, xx, xy, yy] = this.sums.map((sum) => sum[to]! - sum[from]!) as [
      number,
      number,
      number,
      number,
      number,
    ];
    const sxx = xx - (x * x) / m;
    const sxy = xy - (x * y) / m;
    const syy = yy - (y * y) / m;
    return Math.max(0, sxx > 0 ? syy - (sxy * sxy) / sxx : syy);
  }
}

function typicalVariance(sums: LineSums, n: number): number {
  const length = Math.min(n, Math.round(VARIANCE_WINDOW_s / BLOCK_s));
  const variances: number[] = [];
  for (let from = 0; from + length <= n; from += Math.max(1, length >> 1)) {
    variances.push(sums.residual(from, from + length) / Math.max(1, length - 2));
  }
  // A pour without any noise (arithmetic) still needs a price for a border.
  return Math.max(median(variances), 1e-14);
}

/** Cheapest cut of 0…n into pieces: best[to] = min over from of best[from] + residual(from, to) + penalty. */
function partition(
  sums: LineSums,
  n: number,
  shortest: number,
  penalty: number,
): (readonly [number, number])[] {
  const best = new Float64Array(n + 1).fill(Infinity);
  const cameFrom = new Int32Array(n + 1);
  best[0] = 0;
  for (let to = shortest; to <= n; to++) {
    for (let from = 0; from <= to - shortest; from++) {
      if (best[from] === Infinity) continue;
      const cost = best[from]! + sums.residual(from, to) + penalty;
      if (cost < best[to]!) {
        best[to] = cost;
        cameFrom[to] = from;
      }
    }
  }
  const borders: (readonly [number, number])[] = [];
  for (let to = n; to > 0; to = cameFrom[to]!) borders.unshift([cameFrom[to]!, to]);
  return borders;
}

function merged(pieces: readonly Plateau[]): Plateau[] {
  const result: Plateau[] = [];
  for (const piece of pieces) {
    const last = result[result.length - 1];
    if (last !== undefined && isSame(last, piece)) {
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

function isSame(a: Plateau, b: Plateau): boolean {
  const shorter_s = Math.min(a.stop_s - a.start_s, b.stop_s - b.start_s);
  const mean = (Math.abs(a.slope_kg_per_s) + Math.abs(b.slope_kg_per_s)) / 2;
  const agrees =
    Math.abs(a.slope_kg_per_s - b.slope_kg_per_s) <= mean * (MERGE_RELATIVE + MERGE_SHORT / shorter_s ** 1.5);
  return agrees && b.start_s - a.stop_s < MERGE_NEARER_THAN_s;
}
