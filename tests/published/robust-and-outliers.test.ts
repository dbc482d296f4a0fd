import { describe, expect, it } from 'vitest';
import { grubbsTest } from '../../src/base/statistics/grubbs.ts';
import { quantile } from '../../src/base/statistics/quantile.ts';
import { theilSenLine } from '../../src/base/statistics/theil-sen-line.ts';

// Source: R package statpsych, ci.theil, after Hollander & Wolfe 1999.
describe('Theil-Sen', () => {
  const y = [21, 4, 9, 12, 35, 18, 10, 22, 24, 1, 6, 8, 13, 16, 19];
  const x = [67, 28, 30, 28, 52, 40, 25, 37, 44, 10, 14, 20, 28, 40, 51];

  it('gives the published slope and its 95 % interval, ties in x left out', () => {
    const line = theilSenLine(x, y);
    if (line?.slopeInterval == null) throw new Error('no interval');
    expect(line.slope).toBe(0.5);
    expect(line.slopeInterval[0]).toBeCloseTo(0.3243243, 7);
    expect(line.slopeInterval[1]).toBe(0.75);
    expect((line.slopeInterval[1] - line.slopeInterval[0]) / (2 * 1.959964)).toBeCloseTo(0.1085927, 6);
  });

  // Recomputed from the same data: the number of usable pairs and the intercept.
  it('uses 101 of the 105 pairs', () => {
    expect(theilSenLine(x, y)).toMatchObject({ pairs: 101, intercept: -2 });
  });
});

// Source: NIST/SEMATECH e-Handbook 1.3.5.17.1 (transcribed in a repository's test file; the printed G is truncated).
describe('Grubbs', () => {
  it('gives the published statistic and critical value, and rejects', () => {
    const test = grubbsTest(
      [199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57],
      0.05,
      'one-sided',
    );
    if (!test.ok) throw new Error(test.because);
    expect(test.value.statistic).toBeCloseTo(2.468765, 6);
    expect(test.value.criticalValue).toBeCloseTo(2.031652, 6);
    expect(test.value).toMatchObject({ isOutlier: true, index: 7 });
  });
});

// Source: NIST/SEMATECH e-Handbook 7.2.6.2 (same file).
describe('quantiles', () => {
  it('gives the published 90th percentile for each type', () => {
    const values = [
      95.1772, 95.1567, 95.1937, 95.1959, 95.1442, 95.061, 95.1591, 95.1195, 95.1065, 95.0925, 95.199,
      95.1682,
    ];
    expect(quantile(values, 0.9, 6)).toBeCloseTo(95.1981, 4);
    expect(quantile(values, 0.9, 7)).toBeCloseTo(95.1957, 4);
    expect(quantile(values, 0.9, 8)).toBeCloseTo(95.1972, 4);
  });
});
