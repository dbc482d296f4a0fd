import { describe, expect, it } from 'vitest';
import { arrowEquations } from '../../../src/base/statistics/solve-arrow.ts';
import type { Slope } from '../../../src/base/statistics/solve-arrow.ts';
import { solveSymmetric } from '../../../src/base/statistics/solve-symmetric.ts';
import { Random } from '../../../src/simulation/random.ts';

/** Places 0-2 and 8 are shared; then blocks of one and of two, not in order. */
const block = [-1, -1, -1, 0, 1, 2, 0, 2, -1];
const random = new Random(8, 'solve-arrow');
const observations = Array.from({ length: 40 }, (_, n) => {
  const mine = n % 3;
  const places = block.flatMap((b, place) => (b === mine || (b < 0 && n % 4 !== place) ? [place] : []));
  const slopes = places.map((place): Slope => [place, random.normal()]);
  return { slopes, residual: random.normal(), weight: 10 ** random.uniform(-2, 4) };
});

describe('equations of many small blocks', () => {
  const arrow = arrowEquations(block);
  const matrix = block.map(() => block.map(() => 0));
  const right = block.map(() => 0);
  for (const { slopes, residual, weight } of observations) {
    arrow.add(slopes, residual, weight);
    for (const [i, a] of slopes) {
      right[i]! += weight * a * residual;
      for (const [j, b] of slopes) matrix[i]![j]! += weight * a * b;
    }
  }

  it('have the solution and the inverse of the same equations as one matrix', () => {
    const found = arrow.solve()!;
    const whole = solveSymmetric(matrix, right)!;
    block.forEach((_, place) => {
      expect(found.solution[place]! / whole.solution[place]!).toBeCloseTo(1, 9);
      const column = whole.inverseColumn(place);
      found.inverseColumn(place).forEach((value, i) => {
        expect(Math.abs(value - column[i]!)).toBeLessThan(1e-9 * Math.max(...column.map(Math.abs)));
      });
      expect(arrow.diagonal(place) / matrix[place]![place]!).toBeCloseTo(1, 12);
    });
  });

  it('are refused where the data can’t tell an unknown, shared or own', () => {
    for (const slopes of [
      [[1, 1]],
      [
        [0, 1],
        [1, 1],
      ],
    ] as const) {
      const short = arrowEquations([-1, 0]);
      short.add(slopes, 1, 1);
      short.add(slopes, 2, 1);
      expect(short.solve()).toBeNull();
    }
    const pair = arrowEquations([0, 0]);
    pair.add(
      [
        [0, 1],
        [1, 2],
      ],
      1,
      1,
    );
    expect(pair.solve()).toBeNull();
  });

  it('refuse blocks of three, and an observation that joins two', () => {
    expect(() => arrowEquations([0, 0, 0])).toThrow(RangeError);
    const joined = (): void =>
      arrowEquations([0, 1]).add(
        [
          [0, 1],
          [1, 1],
        ],
        1,
        1,
      );
    expect(joined).toThrow(RangeError);
  });
});
