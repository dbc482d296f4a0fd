import chisquareQuantile from '@stdlib/stats-base-dists-chisquare-quantile';
import snedecorQuantile from '@stdlib/stats-base-dists-f-quantile';
import studentCdf from '@stdlib/stats-base-dists-t-cdf';
import studentQuantile from '@stdlib/stats-base-dists-t-quantile';
import { describe, expect, it } from 'vitest';
import { chiSquareQuantile, fQuantile, tCdf, tQuantile } from '../../../src/base/statistics/distributions.ts';
import { invertIncreasing } from '../../../src/base/statistics/invert-increasing.ts';

// Reference: the quantile functions of @stdlib, a general-purpose numeric library, which the product itself does not load.
const degrees = [1, 1.7, 2, 3, 4.2, 6, 10, 14, 30, 120, 1e4, 1e6];
const probabilities = [0.005, 0.025, 0.2, 0.5, 0.8, 0.9, 0.95, 0.975, 0.99, 0.995, 0.9995];

describe('quantiles by inversion', () => {
  it('agree with the library for Student, chi-square and F', () => {
    for (const p of probabilities)
      for (const df of degrees) {
        const t = studentQuantile(p, df);
        expect(Math.abs(tQuantile(p, df) - t), `t ${p} ${df}`).toBeLessThan(1e-8 * (1 + Math.abs(t)));
        const x = chisquareQuantile(p, df);
        expect(Math.abs(chiSquareQuantile(p, df) / x - 1), `chi-square ${p} ${df}`).toBeLessThan(1e-8);
        for (const other of [2, 8, 40]) {
          const f = snedecorQuantile(p, df, other);
          expect(Math.abs(fQuantile(p, df, other) / f - 1), `F ${p} ${df} ${other}`).toBeLessThan(1e-7);
        }
      }
  });

  it('agree with the library for the t distribution function on both sides', () => {
    for (const t of [-30, -2.2, -0.3, 0, 0.3, 2.2, 30])
      for (const df of degrees) expect(tCdf(t, df)).toBeCloseTo(studentCdf(t, df), 10);
  });

  it('find a root however far the guess is, and say when there is none', () => {
    expect(invertIncreasing((x) => x * x, 2, 1)).toBeCloseTo(Math.SQRT2, 14);
    expect(invertIncreasing((x) => x * x, 2e30, 1e-9)).toBeCloseTo(Math.sqrt(2e30), -1);
    expect(() => invertIncreasing((x) => x / (1 + x), 2, 1)).toThrow(RangeError);
  });
});
