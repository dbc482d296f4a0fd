import { MAD_TO_SIGMA, median } from '../../base/statistics/median.ts';

/** A line through (number, arrival). */
export interface NumberLine {
  readonly slope: number;
  /** Value at `middle`. */
  readonly level: number;
  readonly middle: number;
  /** MAD-sigma of the arrivals about it, s. */
  readonly scale: number;
}

const REJECT_SIGMAS = 3;
const PASSES = 4;
/** Arrival is kept no finer than this. */
const FINEST_S = 1e-4;

export function timeAt(line: NumberLine, number: number): number {
  return line.level + line.slope * (number - line.middle);
}

/** Least squares on (number, arrival), points off by more than 3 MAD-sigma set aside, repeated. */
export function robustLine(
  arrival_s: Float64Array,
  number: Float64Array,
  from: number,
  to: number,
  period_s: number,
): NumberLine {
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
    limit = REJECT_SIGMAS * Math.max(scale, FINEST_S);
  }
  return { slope, level, middle, scale };
}
