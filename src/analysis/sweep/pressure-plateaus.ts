import { median } from '../../base/statistics/median.ts';
import { firstAtOrAfter } from '../flow/steady-window.ts';
import { averaged, partition } from './partition.ts';
import type { StretchCost } from './partition.ts';
import { BLOCK_s, PENALTY, SHORTEST_KEPT_s, SHORTEST_PIECE_s } from './plateaus.ts';

/** Neighbouring stretches nearer than this are one: a regulator breathes by as much. Judgement, no source. */
const SAME_WITHIN = 0.015;
/** Never finer than this share of the highest pressure seen: a sensor's own grain. */
const FINEST_SHARE = 1e-3;

export interface PressurePlateau {
  readonly start_s: number;
  readonly stop_s: number;
  readonly pressure_Pa: number;
}

/**
 * What: the stretches of steady pressure between two times, from a sensor that was read all along.
 * Method: as `findPlateaus`, with a constant instead of a line: blocks of 0.2 s, optimal partitioning, penalty 10·ln(n)·s² a piece, s²
 * half the median squared difference of neighbouring blocks over 0.455 (the median of a chi-square with one degree of freedom), never
 * under a thousandth of the highest pressure; pieces under 2.5 s dropped; neighbours within 1.5 % of each other are one.
 * Columns: times ascending, NaN where nothing was read. Never throws; nothing to find gives an empty list.
 */
export function findPressurePlateaus(
  time_s: ArrayLike<number>,
  pressure_Pa: ArrayLike<number>,
  count: number,
  start_s: number,
  stop_s: number,
): PressurePlateau[] {
  const first = firstAtOrAfter(time_s, count, start_s);
  const blocks = averaged(time_s, pressure_Pa, { first, count, start_s, stop_s }, BLOCK_s);
  const n = blocks.time_s.length;
  const shortest = Math.max(3, Math.round(SHORTEST_PIECE_s / BLOCK_s));
  if (n < shortest) return [];
  const squares = Float64Array.from(
    { length: n - 1 },
    (_, i) => (blocks.values[i + 1]! - blocks.values[i]!) ** 2,
  );
  const highest = blocks.values.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  const variance = Math.max(median(squares) / 2 / 0.455, (FINEST_SHARE * highest) ** 2, 1e-12);
  const pieces = partition(new MeanSums(blocks.values), n, shortest, PENALTY * Math.log(n) * variance)
    .map(([from, to]): PressurePlateau => ({
      start_s: blocks.time_s[from]! - BLOCK_s / 2,
      stop_s: blocks.time_s[to - 1]! + BLOCK_s / 2,
      pressure_Pa: blocks.values.subarray(from, to).reduce((sum, value) => sum + value, 0) / (to - from),
    }))
    .filter((piece) => piece.stop_s - piece.start_s >= SHORTEST_KEPT_s);
  const merged: PressurePlateau[] = [];
  for (const piece of pieces) {
    const last = merged.at(-1);
    const near = SAME_WITHIN * Math.abs(piece.pressure_Pa);
    if (last === undefined || Math.abs(last.pressure_Pa - piece.pressure_Pa) > near) {
      merged.push(piece);
      continue;
    }
    const [a, b] = [last.stop_s - last.start_s, piece.stop_s - piece.start_s];
    const pressure = (a * last.pressure_Pa + b * piece.pressure_Pa) / (a + b);
    merged[merged.length - 1] = { start_s: last.start_s, stop_s: piece.stop_s, pressure_Pa: pressure };
  }
  return merged;
}

/** Residual sum of squares about the mean of any stretch, from running sums about the first value. */
class MeanSums implements StretchCost {
  private readonly sum: Float64Array;
  private readonly squares: Float64Array;

  constructor(values: Float64Array) {
    this.sum = new Float64Array(values.length + 1);
    this.squares = new Float64Array(values.length + 1);
    values.forEach((value, i) => {
      const off = value - values[0]!;
      this.sum[i + 1] = this.sum[i]! + off;
      this.squares[i + 1] = this.squares[i]! + off * off;
    });
  }

  residual(from: number, to: number): number {
    const sum = this.sum[to]! - this.sum[from]!;
    return Math.max(0, this.squares[to]! - this.squares[from]! - (sum * sum) / (to - from));
  }
}
