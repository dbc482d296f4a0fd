export interface SolvedSymmetric {
  readonly solution: readonly number[];
  /** Of the matrix; worked out when asked for, whole or one column of it. */
  readonly inverse: () => readonly (readonly number[])[];
  readonly inverseColumn: (column: number) => readonly number[];
}

/** Left of a row's own square, relative, below which it is taken as a sum of the others: singular. */
const SINGULAR = 1e-12;

/**
 * What: A·x = b for a symmetric positive definite A (normal equations, covariances), with the inverse of A. Small matrices.
 * Formula: rows and columns scaled to a diagonal of ones (units of psi, per cent and 1e-8 m³/s beside each other cost no digits), then
 *   Cholesky, A = L·Lᵀ. Source: any text on numerical linear algebra.
 * Returns null where A is singular or not positive definite: a parameter that the data can't tell, or doubts that contradict one another.
 * Errors: RangeError when the shapes differ.
 * @example solveSymmetric([[4, 2], [2, 3]], [8, 8])?.solution // 1, 2
 */
export function solveSymmetric(
  matrix: readonly (readonly number[])[],
  right: readonly number[],
): SolvedSymmetric | null {
  const n = matrix.length;
  if (right.length !== n || matrix.some((row) => row.length !== n)) {
    throw new RangeError('a square matrix and a right side of its length are needed');
  }
  const scale = matrix.map((row, i) => 1 / Math.sqrt(row[i]!));
  if (!scale.every((value) => Number.isFinite(value) && value > 0)) return null;
  const lower: number[][] = [];
  for (let i = 0; i < n; i++) {
    const row = new Array<number>(n).fill(0);
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i]![j]! * scale[i]! * scale[j]!;
      const other = j === i ? row : lower[j]!;
      for (let k = 0; k < j; k++) sum -= row[k]! * other[k]!;
      if (j === i) {
        if (!(sum > SINGULAR)) return null;
        row[i] = Math.sqrt(sum);
      } else {
        row[j] = sum / other[j]!;
      }
    }
    lower.push(row);
  }
  const solve = (b: readonly number[]): number[] => {
    const x = b.map((value, i) => value * scale[i]!);
    for (let i = 0; i < n; i++) {
      for (let k = 0; k < i; k++) x[i]! -= lower[i]![k]! * x[k]!;
      x[i]! /= lower[i]![i]!;
    }
    for (let i = n - 1; i >= 0; i--) {
      for (let k = i + 1; k < n; k++) x[i]! -= lower[k]![i]! * x[k]!;
      x[i]! /= lower[i]![i]!;
    }
    return x.map((value, i) => value * scale[i]!);
  };
  const inverseColumn = (column: number): number[] => solve(matrix.map((_, i) => (i === column ? 1 : 0)));
  return { solution: solve(right), inverse: () => matrix.map((_, i) => inverseColumn(i)), inverseColumn };
}
