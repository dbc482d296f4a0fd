import { describe, expect, it } from 'vitest';
import { solveSymmetric } from '../../../src/base/statistics/solve-symmetric.ts';
import { tTestPower } from '../../../src/base/statistics/t-test-power.ts';

describe('a small symmetric system', () => {
  it('is solved, with the inverse (by hand: [[4, 2], [2, 3]] has determinant 8)', () => {
    const solved = solveSymmetric(
      [
        [4, 2],
        [2, 3],
      ],
      [8, 8],
    );
    expect(solved?.solution[0]).toBeCloseTo(1, 12);
    expect(solved?.solution[1]).toBeCloseTo(2, 12);
    expect(
      solved
        ?.inverse()
        .flat()
        .map((value) => Math.round(value * 8 * 1e9) / 1e9),
    ).toEqual([3, -2, -2, 4]);
  });

  it('keeps its digits where the units differ by twelve powers of ten', () => {
    // Hilbert's 4 x 4 matrix, rows and columns in other units; its inverse's first element is 16 (a known integer).
    const unit = [1, 1e-6, 1e6, 1e-12];
    const hilbert = unit.map((a, i) => unit.map((b, j) => (a * b) / (i + j + 1)));
    expect(solveSymmetric(hilbert, [0, 0, 0, 0])?.inverse()[0]?.[0]).toBeCloseTo(16, 6);
  });

  it('is null where a row is the sum of others, or nothing real has such covariances', () => {
    expect(
      solveSymmetric(
        [
          [1, 1],
          [1, 1],
        ],
        [1, 1],
      ),
    ).toBeNull();
    expect(
      solveSymmetric(
        [
          [1, 2],
          [2, 1],
        ],
        [1, 1],
      ),
    ).toBeNull();
    expect(solveSymmetric([[0]], [1])).toBeNull();
    expect(() => solveSymmetric([[1, 0]], [1])).toThrow(RangeError);
  });
});

describe('power of the t test', () => {
  it('is the significance where there is nothing to see, and the normal one with endless degrees of freedom', () => {
    for (const nu of [1, 2, 4, 10, 200]) expect(tTestPower(0, nu)).toBeCloseTo(0.05, 6);
    // Φ(2.8 − 1.96) = 0.7995, a standard normal table.
    expect(tTestPower(2.8, Infinity)).toBeCloseTo(0.7995, 3);
    expect(tTestPower(2.8, 1e5)).toBeCloseTo(tTestPower(2.8, Infinity), 4);
  });
});
