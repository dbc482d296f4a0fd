import { lowFrequencyVariance } from '../flow/low-frequency-variance.ts';
import type { LowFrequencyVariance } from '../flow/low-frequency-variance.ts';

export type Degree = 1 | 2 | 3;

export interface FlowWithDoubt {
  readonly flow_kg_per_s: number;
  /** From the scatter of the readings alone, kg/s, with the degrees of freedom of the line's own noise. */
  readonly standardUncertainty_kg_per_s: number;
}

/** Mass against time as a polynomial, and the noise of its readings at the slow frequencies that bend it. */
export interface BentLine {
  readonly degree: Degree;
  readonly n: number;
  readonly residuals: Float64Array;
  readonly noise: LowFrequencyVariance;
  /** Flow at a moment: the slope of the polynomial there. */
  flowAt(time_s: number): FlowWithDoubt;
  /** Mean flow between two moments: what has come, by the polynomial, over the time. */
  meanFlow(from_s: number, to_s: number): FlowWithDoubt;
  /** Flow at the second moment less that at the first, with its own doubt: the two are not independent. */
  change(from_s: number, to_s: number): FlowWithDoubt;
  mass_kg(time_s: number): number;
  /** Highest coefficient over its standard uncertainty: how surely it is there. */
  readonly highestOverItsDoubt: number;
}

/**
 * What: least squares of mass on 1, x … x^degree with x the time scaled to −1…1, and its honest doubt.
 * Purpose: a flow that rises or falls during a catch is no straight line of mass; its value at a moment, its mean and its change are all
 *   weighted sums of the coefficients b, so each has u² = S0·wᵀ(XᵀX)⁻¹w with S0 the low-frequency variance of the residuals.
 * Source: least squares: NIST/SEMATECH e-Handbook 4.1.4.1; S0: measurement study, section 2.2 (4), with the polynomial's columns removed.
 * Conditions: times ascending, every mass finite. Null with fewer than degree + 5 readings or no length.
 * @example bentLine([0, 1, 2, 3, 4, 5, 6, 7, 8], [0, 1, 4, 9, 16, 25, 36, 49, 64], 2)?.flowAt(4).flow_kg_per_s // 8
 */
export function bentLine(
  time_s: ArrayLike<number>,
  mass_kg: ArrayLike<number>,
  degree: Degree,
): BentLine | null {
  const n = time_s.length;
  const size = degree + 1;
  const length_s = n > 0 ? time_s[n - 1]! - time_s[0]! : 0;
  if (n < degree + 5 || !(length_s > 0)) return null;
  const middle_s = (time_s[0]! + time_s[n - 1]!) / 2;
  const half_s = length_s / 2;
  const level_kg = mass_kg[0]!;
  const moments = Array.from({ length: size }, () => new Float64Array(size + 1));
  const powers = new Float64Array(size);
  for (let i = 0; i < n; i++) {
    const x = (time_s[i]! - middle_s) / half_s;
    for (let k = 0, p = 1; k < size; k++, p *= x) powers[k] = p;
    for (let r = 0; r < size; r++) {
      for (let c = 0; c < size; c++) moments[r]![c]! += powers[r]! * powers[c]!;
      moments[r]![size]! += powers[r]! * (mass_kg[i]! - level_kg);
    }
  }
  const inverse = inverted(moments.map((row) => row.subarray(0, size)));
  if (inverse === null) return null;
  const b = inverse.map((row) => row.reduce((sum, value, k) => sum + value * moments[k]![size]!, 0));

  const mass = (t: number): number => {
    const x = (t - middle_s) / half_s;
    return level_kg + b.reduceRight((sum, coefficient) => sum * x + coefficient, 0);
  };
  const residuals = Float64Array.from({ length: n }, (_, i) => mass_kg[i]! - mass(time_s[i]!));
  const noise = lowFrequencyVariance(time_s, residuals, undefined, { degree });
  if (noise === null) return null;
  const weighted = (w: readonly number[]): FlowWithDoubt => {
    let square = 0;
    for (let r = 0; r < size; r++) for (let c = 0; c < size; c++) square += w[r]! * inverse[r]![c]! * w[c]!;
    return {
      flow_kg_per_s: w.reduce((sum, value, k) => sum + value * b[k]!, 0),
      standardUncertainty_kg_per_s: Math.sqrt(Math.max(0, noise.variance * square)),
    };
  };
  const each = (weight: (k: number) => number): number[] => Array.from({ length: size }, (_, k) => weight(k));
  const slopeAt = (t: number, k: number): number =>
    k === 0 ? 0 : (k * ((t - middle_s) / half_s) ** (k - 1)) / half_s;
  const termAt = (t: number, k: number): number => ((t - middle_s) / half_s) ** k;
  return {
    degree,
    n,
    residuals,
    noise,
    mass_kg: mass,
    highestOverItsDoubt:
      Math.abs(b[degree]!) / Math.max(1e-300, Math.sqrt(noise.variance * inverse[degree]![degree]!)),
    flowAt: (t) => weighted(each((k) => slopeAt(t, k))),
    meanFlow: (from_s, to_s) =>
      weighted(each((k) => (k === 0 ? 0 : (termAt(to_s, k) - termAt(from_s, k)) / (to_s - from_s)))),
    change: (from_s, to_s) => weighted(each((k) => slopeAt(to_s, k) - slopeAt(from_s, k))),
  };
}

/** Gauss-Jordan with the largest pivot; null when singular. At most four rows. */
function inverted(matrix: readonly Float64Array[]): number[][] | null {
  const size = matrix.length;
  const rows = matrix.map((row, r) => [...row, ...Array.from({ length: size }, (_, c) => (c === r ? 1 : 0))]);
  for (let column = 0; column < size; column++) {
    let pivot = column;
    for (let r = column + 1; r < size; r++)
      if (Math.abs(rows[r]![column]!) > Math.abs(rows[pivot]![column]!)) pivot = r;
    [rows[column], rows[pivot]] = [rows[pivot]!, rows[column]!];
    const top = rows[column]![column]!;
    if (!(Math.abs(top) > 1e-12)) return null;
    rows[column] = rows[column]!.map((value) => value / top);
    for (let r = 0; r < size; r++) {
      if (r === column) continue;
      const factor = rows[r]![column]!;
      rows[r] = rows[r]!.map((value, c) => value - factor * rows[column]![c]!);
    }
  }
  return rows.map((row) => row.slice(size));
}
