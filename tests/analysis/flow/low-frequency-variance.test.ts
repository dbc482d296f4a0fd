import { describe, expect, it } from 'vitest';
import {
  lowFrequencyDegreesOfFreedom,
  lowFrequencyVariance,
} from '../../../src/analysis/flow/low-frequency-variance.ts';
import { ordinaryLine } from '../../../src/base/statistics/ordinary-line.ts';
import { Random } from '../../../src/simulation/random.ts';

/** Brute force: ΣP² is how much less is left over when the waves are fitted beside the line, by solving the normal equations. */
function explainedByWaves(time_s: readonly number[], residuals: readonly number[], nu: number): number {
  const t0 = time_s[0]!;
  const length_s = time_s[time_s.length - 1]! - t0;
  const columnsAt = (t: number, columns: number): number[] => {
    const u = (t - t0) / length_s;
    return Array.from({ length: columns }, (_, j) => (j === 0 ? 1 : j === 1 ? u : Math.cos(j * Math.PI * u)));
  };
  const leftOver = (columns: number): number => {
    const rows = time_s.map((t) => columnsAt(t, columns));
    const matrix = Array.from({ length: columns }, (_, i) => [
      ...Array.from({ length: columns }, (_, j) => rows.reduce((sum, row) => sum + row[i]! * row[j]!, 0)),
      rows.reduce((sum, row, k) => sum + row[i]! * residuals[k]!, 0),
    ]);
    for (let i = 0; i < columns; i++) {
      for (let k = 0; k < columns; k++) {
        if (k === i) continue;
        const share = matrix[k]![i]! / matrix[i]![i]!;
        for (let j = i; j <= columns; j++) matrix[k]![j] = matrix[k]![j]! - share * matrix[i]![j]!;
      }
    }
    const fitted = matrix.map((row, i) => row[columns]! / row[i]!);
    return rows.reduce(
      (sum, row, k) => sum + (residuals[k]! - row.reduce((s, x, j) => s + x * fitted[j]!, 0)) ** 2,
      0,
    );
  };
  return leftOver(2) - leftOver(nu + 2);
}

describe('the low-frequency variance', () => {
  it.each([
    [11.9, 3],
    [18, 3],
    [24, 4],
    [35.9, 5],
    [36, 6],
    [300, 6],
  ])('looks at one wave for every six seconds, three to six: %f s gives %i', (window_s, nu) => {
    expect(lowFrequencyDegreesOfFreedom(window_s)).toBe(nu);
  });

  it.each([3, 4, 6])('equals what %i waves explain by brute force, with gaps in the readings', (nu) => {
    const random = new Random(11 + nu);
    const time_s = Array.from({ length: 90 }, (_, i) => 3 + i / 5 + (i > 40 ? 2.5 : 0)).filter(
      (_, i) => i % 7 !== 3,
    );
    const noise = time_s.map(() => random.normal());
    const residuals = [...ordinaryLine(time_s, noise)!.residuals];
    const found = lowFrequencyVariance(time_s, residuals, nu)!;
    const brute = explainedByWaves(time_s, residuals, nu);
    expect(found.sumOfSquares / brute).toBeCloseTo(1, 8);
    expect(found.variance).toBeCloseTo(found.sumOfSquares / nu, 12);
  });

  it('is the variance of white noise in the mean (2000 seeded records, 4 waves: within 4 standard errors)', () => {
    const random = new Random(2024);
    const time_s = Array.from({ length: 120 }, (_, i) => i / 5);
    let sum = 0;
    for (let k = 0; k < 2000; k++) {
      const noise = time_s.map(() => 3 * random.normal());
      sum += lowFrequencyVariance(time_s, ordinaryLine(time_s, noise)!.residuals, 4)!.variance;
    }
    expect(Math.abs(sum / 2000 / 9 - 1)).toBeLessThan(4 * Math.sqrt(2 / 4 / 2000));
  });

  it('is not to be had from too few readings or from none', () => {
    expect(lowFrequencyVariance([], [])).toBeNull();
    expect(lowFrequencyVariance([0, 1, 2, 3, 4], [1, -1, 1, -1, 0], 3)).toBeNull();
  });
});
