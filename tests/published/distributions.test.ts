import { describe, expect, it } from 'vitest';
import {
  chiSquareCdf,
  chiSquareQuantile,
  fCdf,
  fQuantile,
  tCdf,
  tQuantile,
} from '../../src/base/statistics/distributions.ts';

/** Half of the last digit of a printed value. */
function within(printed: number, decimals: number) {
  return { low: printed - 0.5001 * 10 ** -decimals, high: printed + 0.5001 * 10 ** -decimals };
}

function expectPrinted(value: number, printed: number, decimals: number): void {
  const { low, high } = within(printed, decimals);
  expect(value).toBeGreaterThanOrEqual(low);
  expect(value).toBeLessThanOrEqual(high);
}

// Source of the t table: the one attributed to the NIST/SEMATECH e-Handbook (seen in a copy; also bookdown.org).
describe('Student t', () => {
  it('agrees with the printed two-sided 95 % table (p = 0.975)', () => {
    const printed = [
      12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228, 2.201, 2.179, 2.16, 2.145, 2.131,
      2.12, 2.11, 2.101, 2.093, 2.086,
    ];
    printed.forEach((t, i) => expectPrinted(tQuantile(0.975, i + 1), t, 3));
    for (const [df, t] of [
      [25, 2.06],
      [30, 2.042],
      [40, 2.021],
      [60, 2],
      [100, 1.984],
      [Infinity, 1.96],
    ] as const) {
      expectPrinted(tQuantile(0.975, df), t, 3);
    }
  });

  it('agrees with the printed tables for p = 0.995 and 0.95', () => {
    const p995: [number, number][] = [
      [1, 63.657],
      [2, 9.925],
      [3, 5.841],
      [4, 4.604],
      [5, 4.032],
      [6, 3.707],
      [8, 3.355],
      [10, 3.169],
      [16, 2.921],
      [20, 2.845],
      [30, 2.75],
    ];
    const p95: [number, number][] = [
      [1, 6.314],
      [2, 2.92],
      [3, 2.353],
      [4, 2.132],
      [5, 2.015],
      [6, 1.943],
      [8, 1.86],
      [10, 1.812],
      [20, 1.725],
      [30, 1.697],
    ];
    for (const [df, t] of p995) expectPrinted(tQuantile(0.995, df), t, 3);
    for (const [df, t] of p95) expectPrinted(tQuantile(0.95, df), t, 3);
  });
});

// Source: printed chi-square table (an exam paper; recomputed identical).
describe('chi-square', () => {
  it('agrees with the printed upper 5 % points for 1 to 15 degrees of freedom', () => {
    const printed = [
      3.84146, 5.99146, 7.81473, 9.48773, 11.0705, 12.59159, 14.06714, 15.50731, 16.91898, 18.30704, 19.67514,
      21.02607, 22.36203, 23.68479, 24.99579,
    ];
    printed.forEach((x, i) => expectPrinted(chiSquareQuantile(0.95, i + 1), x, 5));
  });

  it('agrees with the printed 2.5 % points of both tails for 1 to 8 degrees of freedom', () => {
    const upper = [5.02389, 7.37776, 9.3484, 11.14329, 12.8325, 14.44938, 16.01276, 17.53455];
    const lower = [0.00098, 0.05064, 0.2158, 0.48442, 0.83121, 1.23734, 1.68987, 2.17973];
    upper.forEach((x, i) => expectPrinted(chiSquareQuantile(0.975, i + 1), x, 5));
    lower.forEach((x, i) => expectPrinted(chiSquareQuantile(0.025, i + 1), x, 5));
  });
});

// Source: printed F tables (atozmath.com; astarmathsandphysics.com).
describe('F', () => {
  it('agrees with the printed upper 5 % points, numerator first', () => {
    const fourDecimals: [number, number[]][] = [
      [1, [161.4476, 18.5128, 10.128]],
      [2, [199.5, 19, 9.5521]],
      [3, [215.7073, 19.1643, 9.2766]],
      [4, [224.5832, 19.2468, 9.1172]],
      [5, [230.1619, 19.2964, 9.0135]],
    ];
    for (const [numerator, values] of fourDecimals) {
      values.forEach((f, i) => expectPrinted(fQuantile(0.95, numerator, i + 1), f, 4));
    }
    const twoDecimals: [number, number[]][] = [
      [1, [7.71, 6.61, 5.99, 5.59, 5.32, 5.12, 4.96]],
      [2, [6.94, 5.79, 5.14, 4.74, 4.46, 4.26, 4.1]],
      [3, [6.59, 5.41, 4.76, 4.35, 4.07, 3.86]],
      [4, [6.39, 5.19, 4.53, 4.12, 3.84, 3.63]],
    ];
    for (const [numerator, values] of twoDecimals) {
      values.forEach((f, i) => expectPrinted(fQuantile(0.95, numerator, i + 4), f, 2));
    }
  });

  // The third, 13.74502, is printed 13.74: rounded the wrong way by the table.
  it('agrees with the printed upper 1 % points for one numerator degree of freedom', () => {
    [21.2, 16.26, 13.745, 12.25, 11.26, 10.56, 10.04].forEach((f, i) =>
      expectPrinted(fQuantile(0.99, 1, i + 4), f, 2),
    );
  });

  // A statistics book's introduction prints F(0.05; 6, 15) = 3.94, with the axes swapped.
  it('does not reproduce the published slip of swapped degrees of freedom', () => {
    expect(fQuantile(0.95, 6, 15)).toBeCloseTo(2.7905, 4);
    expect(fQuantile(0.95, 15, 6)).toBeCloseTo(3.94, 2);
  });
});

describe('distributions at the ends', () => {
  it('are the inverse of their own cdf, fractional degrees of freedom included', () => {
    for (const p of [0.005, 0.025, 0.3, 0.5, 0.95, 0.975, 0.999]) {
      for (const df of [1, 2, 4.2, 16.75, 60, 1000]) {
        expect(tCdf(tQuantile(p, df), df)).toBeCloseTo(p, 9);
        expect(chiSquareCdf(chiSquareQuantile(p, df), df)).toBeCloseTo(p, 9);
        expect(fCdf(fQuantile(p, df, 7), df, 7)).toBeCloseTo(p, 9);
      }
    }
  });

  it('go over into the normal and the chi-square at infinite degrees of freedom', () => {
    expect(tQuantile(0.975, Infinity)).toBeCloseTo(tQuantile(0.975, 1e7), 5);
    expect(tCdf(-1.5, Infinity)).toBeCloseTo(1 - tCdf(1.5, Infinity), 12);
    expect(fQuantile(0.99, 10, Infinity)).toBeCloseTo(fQuantile(0.99, 10, 1e7), 4);
    expect(fCdf(2.3, 10, Infinity)).toBeCloseTo(fCdf(2.3, 10, 1e7), 5);
  });

  it('throw instead of inventing an answer outside their domain', () => {
    for (const p of [0, 1, -0.1, NaN]) expect(() => tQuantile(p, 5)).toThrow(RangeError);
    for (const df of [0, -1, NaN]) expect(() => tQuantile(0.9, df)).toThrow(RangeError);
    expect(() => chiSquareCdf(NaN, 3)).toThrow(RangeError);
    expect(() => fQuantile(0.9, Infinity, 3)).toThrow(RangeError);
  });
});
