import { describe, expect, test } from 'vitest';
import { ewma, ewmaSpread } from '../../src/analysis/drift/ewma.ts';
import { forecastOf } from '../../src/analysis/drift/forecast.ts';
import { Random } from '../../src/simulation/random.ts';

describe('against published control charts', () => {
  test('NIST/SEMATECH e-Handbook 6.3.2.4: every average and both limits', () => {
    const x = [
      52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6,
      52.4, 53.6, 52.1,
    ];
    const printed = [
      50.6, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52, 50.05, 49.38,
      49.92, 50.73, 51.23, 51.94, 51.99,
    ];
    const found = ewma(x, 0.3, 50);
    found.forEach((average, i) => expect(Math.abs(average - printed[i]!)).toBeLessThanOrEqual(0.0051));
    const half = 3 * 2.0539 * ewmaSpread(0.3, Infinity, Infinity);
    expect(50 + half).toBeCloseTo(52.588432, 5);
    expect(50 - half).toBeCloseTo(47.411568, 5);
    expect(found.some((average) => Math.abs(average - 50) > half)).toBe(false);
  });

  test('SAS/QC clips, means of five, weight 0.3: averages by the written-out sum', () => {
    // Data seen; the outputs were not, so the recursion is held against the definition Σ λ(1−λ)^j x.
    const means = [
      14.904, 15.014, 14.866, 15.048, 15.024, 15.126, 15.22, 14.902, 14.91, 14.932, 15.096, 14.912, 15.138,
      14.798, 14.944, 14.896, 14.734, 15.046, 14.702, 14.788,
    ];
    const found = ewma(means, 0.3, 15);
    found.forEach((average, i) => {
      let sum = 0.7 ** (i + 1) * 15;
      for (let j = 0; j <= i; j++) sum += 0.3 * 0.7 ** (i - j) * means[j]!;
      expect(average).toBeCloseTo(sum, 10);
    });
  });

  test('NIST/SEMATECH e-Handbook 6.3.2.3: where the handbook’s cusum signals (sample 14), this chart has signalled, not before the shift', () => {
    const x = [
      324.925, 324.675, 324.725, 324.35, 325.35, 325.225, 324.125, 324.525, 325.225, 324.6, 324.625, 325.15,
      328.325, 327.25, 327.825, 328.5, 326.675, 327.775, 326.875, 328.35,
    ];
    const out = signals(x, 325, 0.635);
    expect(out.indexOf(true) + 1).toBe(13);
    expect(out.slice(12).every(Boolean)).toBe(true);
  });

  test('Lucas and Crosier 1982: signal with the seventh value, as their chart without a head start', () => {
    expect(signals([0.8, 1.9, 1.4, 2.0, 1.1, 0.7, 2.6], 0, 1).indexOf(true) + 1).toBe(7);
  });

  function signals(x: readonly number[], target: number, s: number): boolean[] {
    return ewma(x, 0.4, target).map(
      (average, i) => Math.abs(average - target) > 3.2 * s * ewmaSpread(0.4, i + 1, Infinity),
    );
  }
});

const baseline = [
  { week: -0.14, value: 0.002 },
  { week: 0, value: -0.003 },
  { week: 0.14, value: 0.001 },
];

describe('accelerated wear as published (Agricultural Engineering 2018, doi 10.1515/agriceng-2018-0037)', () => {
  // Nominal 1.19 L/min; 1.31 after 35 h in run 1, +10 % at about 30 h in run 2; +27.5 % at 100 h. In between straight lines, with the
  // scatter of a catch put on: hours here stand where weeks do.
  function flowRatio(hours: number, tenAt: number): number {
    if (hours <= tenAt) return (0.1008 * hours) / tenAt;
    return 0.1008 + ((0.275 - 0.1008) * (hours - tenAt)) / (100 - tenAt);
  }

  test.each([
    [35, 'run 1'],
    [30, 'run 2'],
  ])('after 20 h the forecast of +10 %% holds %d h (%s)', (tenAt) => {
    const random = new Random(5).stream(tenAt);
    const checks = Array.from({ length: 8 }, (_, i) => 2.5 * (i + 1)).map((week) => ({
      week,
      value: flowRatio(week, tenAt) + 0.003 * random.normal(),
    }));
    const { forecast } = forecastOf(
      baseline,
      checks,
      { standardDeviation: 0.003, degreesOfFreedom: 40 },
      0.1,
    );
    expect(forecast!.earliest).toBeLessThan(tenAt);
    expect(forecast!.latest!).toBeGreaterThan(tenAt - 1);
    expect(Math.abs(forecast!.week - tenAt)).toBeLessThan(4);
  });

  // Between the two published points nothing was printed: this line is ours, so it shows the arithmetic and not how tips wear.
  test('a straight line made between the published points is carried on from 60 h to its own end', () => {
    const random = new Random(6);
    const checks = Array.from({ length: 24 }, (_, i) => 2.5 * (i + 1)).map((week) => ({
      week,
      value: flowRatio(week, 35) + 0.003 * random.normal(),
    }));
    const { forecast } = forecastOf(
      baseline,
      checks,
      { standardDeviation: 0.003, degreesOfFreedom: 40 },
      0.275,
    );
    expect(Math.abs(forecast!.week - 100)).toBeLessThan(6);
  });
});
