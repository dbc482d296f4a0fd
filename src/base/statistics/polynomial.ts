export interface PolynomialFit {
  readonly method: 'ordinary least squares, polynomial';
  readonly n: number;
  readonly degree: number;
  /** n − degree − 1. */
  readonly degreesOfFreedom: number;
  /** y = c₀ + c₁x + c₂x² …, lowest power first. */
  readonly coefficients: readonly number[];
  /** Null when no degrees of freedom are left to tell the scatter. */
  readonly standardUncertainties: readonly number[] | null;
  readonly residualSumOfSquares: number;
  readonly residualStandardDeviation: number | null;
  readonly residuals: Float64Array;
}

/**
 * What: y as a polynomial of x (degree 1 or 2 is what a scale or a meter needs), minimising Σ residual².
 * Purpose: is a load cell straight, and by how much not.
 * Formula: x is carried to z in [−1, 1] and the powers of z made orthogonal one after another (Gram-Schmidt, twice); powers of raw
 *   x of 3 000 000 would lose eight digits. u = s·√(diagonal of (XᵀX)⁻¹), s² = RSS/(n − degree − 1).
 * Source: NIST StRD Pontius, certified (tests/published).
 * Conditions: the uncertainties hold for independent errors of one size in y.
 * Returns null with fewer distinct x than coefficients. Errors: RangeError when lengths differ or the degree is not 1, 2 or 3.
 * @example polynomialFit([0, 1, 2, 3], [1, 2, 5, 10], 2)?.coefficients // 1, 0, 1
 */
export function polynomialFit(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  degree: number,
): PolynomialFit | null {
  const n = x.length;
  if (y.length !== n) throw new RangeError('x and y must have one length');
  if (![1, 2, 3].includes(degree)) throw new RangeError(`not a degree we fit: ${degree}`);
  const xs = Array.from(x);
  const lowest = xs.reduce((a, b) => Math.min(a, b), Infinity);
  const highest = xs.reduce((a, b) => Math.max(a, b), -Infinity);
  if (new Set(xs).size <= degree || !(highest - lowest < Infinity)) return null;
  const centre = (lowest + highest) / 2;
  const half = (highest - lowest) / 2;

  // Orthonormal columns Q, and the triangle R that carries coefficients of Q to those of the powers of z.
  const columns: Float64Array[] = [];
  const triangle: number[][] = [];
  for (let power = 0; power <= degree; power++) {
    const column = Float64Array.from(xs, (value) => ((value - centre) / half) ** power);
    const shares = new Array<number>(degree + 1).fill(0);
    for (let pass = 0; pass < 2; pass++) {
      columns.forEach((earlier, j) => {
        const share = dot(earlier, column);
        shares[j]! += share;
        for (let i = 0; i < n; i++) column[i]! -= share * earlier[i]!;
      });
    }
    const size = Math.sqrt(dot(column, column));
    if (!(size > 1e-10 * Math.sqrt(n))) return null;
    shares[power] = size;
    columns.push(column.map((value) => value / size));
    triangle.push(shares);
  }

  const residuals = Float64Array.from(y);
  const projected = columns.map(() => 0);
  for (let pass = 0; pass < 2; pass++) {
    columns.forEach((column, j) => {
      const share = dot(column, residuals);
      projected[j]! += share;
      for (let i = 0; i < n; i++) residuals[i]! -= share * column[i]!;
    });
  }
  const toPowers = inverseOfTriangle(triangle);
  const toX = powersOfLine(-centre / half, 1 / half, degree);
  // coefficient of x^a = Σ_b toX[b][a] · (coefficient of z^b)
  const coefficientsOf = (ofColumns: readonly number[]): number[] => {
    const ofZ = toPowers.map((row) => row.reduce((sum, value, j) => sum + value * ofColumns[j]!, 0));
    return ofZ.map((_, a) => ofZ.reduce((sum, value, b) => sum + value * toX[b]![a]!, 0));
  };
  const degreesOfFreedom = n - degree - 1;
  const residualSumOfSquares = dot(residuals, residuals);
  const variance = degreesOfFreedom > 0 ? residualSumOfSquares / degreesOfFreedom : null;
  // Coefficients of x for each column alone: their rows' lengths are √(diagonal of (XᵀX)⁻¹).
  const unit = columns.map((_, j) => coefficientsOf(columns.map((__, k) => (k === j ? 1 : 0))));
  return Object.freeze({
    method: 'ordinary least squares, polynomial',
    n,
    degree,
    degreesOfFreedom,
    coefficients: coefficientsOf(projected),
    standardUncertainties:
      variance === null
        ? null
        : projected.map((_, a) => Math.sqrt(variance) * Math.hypot(...unit.map((row) => row[a]!))),
    residualSumOfSquares,
    residualStandardDeviation: variance === null ? null : Math.sqrt(variance),
    residuals,
  });
}

/** `columns[k][j]`: share of unit column j in power k. Returns rows: coefficient of power i for each unit column. */
function inverseOfTriangle(columns: readonly (readonly number[])[]): number[][] {
  const size = columns.length;
  const inverse = columns.map(() => new Array<number>(size).fill(0));
  for (let k = 0; k < size; k++) {
    for (let i = k; i >= 0; i--) {
      let value = i === k ? 1 : 0;
      for (let j = i + 1; j <= k; j++) value -= columns[j]![i]! * inverse[j]![k]!;
      inverse[i]![k] = value / columns[i]![i]!;
    }
  }
  return inverse;
}

/** Rows: coefficients of (offset + slope·x)^b in powers of x, b = 0 … degree. */
function powersOfLine(offset: number, slope: number, degree: number): number[][] {
  const rows = [[1, ...new Array<number>(degree).fill(0)]];
  for (let b = 1; b <= degree; b++) {
    rows.push(rows[b - 1]!.map((value, a, before) => offset * value + slope * (before[a - 1] ?? 0)));
  }
  return rows;
}

function dot(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}
