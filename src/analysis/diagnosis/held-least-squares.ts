import { solveSymmetric } from '../../base/statistics/solve-symmetric.ts';

/** A parameter is known beforehand: mean and standard uncertainty, as one more datum. */
export interface Datum {
  readonly mean: number;
  readonly standardUncertainty: number;
}

export interface HeldFit {
  readonly parameters: readonly number[];
  /** Row by row; not scaled by chi-square. */
  readonly covariance: readonly (readonly number[])[];
}

/**
 * What: y = Σ xⱼ·aⱼ by weighted least squares, some of the aⱼ held by data of their own.
 * Formula: minimise Σ((y − Σxⱼaⱼ)/u)² + Σ((aⱼ − mⱼ)/sⱼ)²; covariance = inverse of the normal matrix (standard, from memory).
 * Conditions: a few columns, independent errors. Null when the normal matrix can't be inverted.
 * @example heldLeastSquares([[1, 2]], [3, 6], [1, 1], [null])?.parameters // [3]
 */
export function heldLeastSquares(
  columns: readonly (readonly number[])[],
  y: readonly number[],
  standardUncertainty: readonly number[],
  data: readonly (Datum | null)[],
): HeldFit | null {
  const size = columns.length;
  const matrix = columns.map((_, i) => {
    const held = data[i] ?? null;
    return columns.map((__, j) => (i === j && held !== null ? 1 / held.standardUncertainty ** 2 : 0));
  });
  const right = data.map((held) => (held === null ? 0 : held.mean / held.standardUncertainty ** 2));
  for (let n = 0; n < y.length; n++) {
    const weight = 1 / standardUncertainty[n]! ** 2;
    for (let i = 0; i < size; i++) {
      const scaled = columns[i]![n]! * weight;
      right[i]! += scaled * y[n]!;
      for (let j = 0; j <= i; j++) matrix[i]![j]! += scaled * columns[j]![n]!;
    }
  }
  for (let i = 0; i < size; i++) for (let j = 0; j < i; j++) matrix[j]![i] = matrix[i]![j]!;
  const solved = solveSymmetric(matrix, right);
  return solved === null ? null : { parameters: solved.solution, covariance: solved.inverse() };
}
