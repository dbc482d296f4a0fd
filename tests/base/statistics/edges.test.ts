import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { birgeRatio } from '../../../src/base/statistics/birge-ratio.ts';
import { fQuantile, tQuantile } from '../../../src/base/statistics/distributions.ts';
import { grubbsTest } from '../../../src/base/statistics/grubbs.ts';
import { huberLine } from '../../../src/base/statistics/huber-line.ts';
import { lackOfFit } from '../../../src/base/statistics/lack-of-fit.ts';
import { lineThroughOrigin } from '../../../src/base/statistics/line-through-origin.ts';
import { meanAndDeviation } from '../../../src/base/statistics/mean-and-deviation.ts';
import { madScale, median } from '../../../src/base/statistics/median.ts';
import { lineAt, ordinaryLine } from '../../../src/base/statistics/ordinary-line.ts';
import { pooledDeviation } from '../../../src/base/statistics/pooled-deviation.ts';
import { powerLaw } from '../../../src/base/statistics/power-law.ts';
import { quantile } from '../../../src/base/statistics/quantile.ts';
import { theilSenLine } from '../../../src/base/statistics/theil-sen-line.ts';
import { theilSenSlope } from '../../../src/base/statistics/theil-sen.ts';
import { weightedLineThroughOrigin } from '../../../src/base/statistics/weighted-through-origin.ts';
import { combineUncertainty } from '../../../src/base/statistics/welch-satterthwaite.ts';

const SEED = 20_261_125;

describe('too little data gives null or a refusal, never an invented number', () => {
  it('gives no scatter from one value', () => {
    expect(meanAndDeviation([7])).toEqual({
      n: 1,
      mean: 7,
      standardDeviation: null,
      standardUncertaintyOfMean: null,
      degreesOfFreedom: 0,
    });
    expect(pooledDeviation([[1], [2], []])).toBeNull();
    expect(birgeRatio([1], [1])).toBeNull();
    expect(lackOfFit([1], [1], 1)).toBeNull();
  });

  it('gives no line where x does not move, and no uncertainty from two points', () => {
    expect(ordinaryLine([], [])).toBeNull();
    expect(ordinaryLine([1], [1])).toBeNull();
    expect(ordinaryLine([3, 3, 3], [1, 2, 3])).toBeNull();
    expect(ordinaryLine([1, 2], [1, 2])).toMatchObject({
      slope: 1,
      residualStandardDeviation: null,
      slopeStandardUncertainty: null,
      interceptStandardUncertainty: null,
      covariance: null,
    });
    expect(lineThroughOrigin([0, 0], [1, 2])).toBeNull();
    expect(lineThroughOrigin([2], [4])).toMatchObject({ slope: 2, slopeStandardUncertainty: null });
    expect(weightedLineThroughOrigin([0], [1], [1])).toBeNull();
    expect(theilSenSlope([1, 1], [1, 2])).toBeNull();
    expect(theilSenLine([1], [1])).toBeNull();
    expect(theilSenLine([1, 2], [1, 2])).toMatchObject({ slope: 1, slopeInterval: null });
    expect(huberLine([2, 2], [0, 1])).toBeNull();
  });

  it('refuses a power law of too few points or values not above zero', () => {
    expect(powerLaw([], [])).toMatchObject({ because: 'too-few-settings' });
    expect(powerLaw([2, 2], [1, 2])).toMatchObject({ because: 'too-few-settings' });
    expect(powerLaw([0, 2], [1, 2])).toMatchObject({ because: 'setting-not-positive' });
    expect(powerLaw([1, 2], [0, 2])).toMatchObject({ because: 'flow-not-positive' });
    expect(powerLaw([1, 4], [2, 4])).toMatchObject({
      value: { exponentStandardUncertainty: null, covariance: null, degreesOfFreedom: 0 },
    });
    expect(powerLaw([1, 4], [2, 4], [0.1, 0.1])).toMatchObject({ value: { degreesOfFreedom: 0 } });
  });

  it('refuses Grubbs under eight values, where three can hardly ever fail it, and for values all equal', () => {
    expect(grubbsTest([1, 1, 1, 1, 1, 1, 99])).toMatchObject({ because: 'not-enough-readings' });
    expect(grubbsTest([1, 1, 1, 1, 1, 1, 1, 1])).toMatchObject({ because: 'not-enough-readings' });
    expect(grubbsTest([1, 2, 3, 4, 5, 6, 7, 8])).toMatchObject({ value: { isOutlier: false } });
  });
});

describe('a mistake of the caller throws', () => {
  it('throws a RangeError for nothing at all, lengths that differ, or an uncertainty of zero', () => {
    expect(() => median([])).toThrow(RangeError);
    expect(() => meanAndDeviation([])).toThrow(RangeError);
    expect(() => quantile([], 0.5, 7)).toThrow(RangeError);
    expect(() => quantile([1], 1.5, 7)).toThrow(RangeError);
    expect(() => ordinaryLine([1, 2], [1])).toThrow(RangeError);
    expect(() => lineThroughOrigin([1], [])).toThrow(RangeError);
    expect(() => theilSenSlope([1, 2], [1])).toThrow(RangeError);
    expect(() => weightedLineThroughOrigin([1], [1], [0])).toThrow(RangeError);
    expect(() => powerLaw([1, 2], [1])).toThrow(RangeError);
    expect(() => powerLaw([1, 2], [1, 2], [1, 0])).toThrow(RangeError);
    expect(() => birgeRatio([1, 2], [1, 0])).toThrow(RangeError);
    expect(() => lackOfFit([1, 2], [1, 0], 1)).toThrow(RangeError);
    expect(() => huberLine([1, 2], [1, 2], 0)).toThrow(RangeError);
    expect(() => combineUncertainty([{ standardUncertainty: -1, degreesOfFreedom: 1 }])).toThrow(RangeError);
    expect(() => combineUncertainty([{ standardUncertainty: 1, degreesOfFreedom: 0 }])).toThrow(RangeError);
  });
});

describe('very many degrees of freedom', () => {
  it('give the normal quantile and never less or more than their neighbours', () => {
    const ascending = [1e3, 1e5, 1e6, 9e6, 1.1e7, 1e9, 1e12, 1e20, 1e100, Infinity];
    const quantiles = ascending.map((df) => tQuantile(0.975, df));
    for (const t of quantiles.slice(3)) expect(t).toBeCloseTo(1.959964, 6);
    quantiles.slice(1).forEach((t, i) => expect(t).toBeLessThanOrEqual(quantiles[i]! + 1e-9));
    for (const df of ascending.slice(3)) expect(fQuantile(0.99, 10, df)).toBeCloseTo(2.320925, 4);
  });
});

describe('properties', () => {
  const points = fc.array(
    fc.record({
      x: fc.double({ min: -100, max: 100, noNaN: true }),
      y: fc.double({ min: -100, max: 100, noNaN: true }),
    }),
    { minLength: 5, maxLength: 30 },
  );

  it(`keeps the residuals of an ordinary line at right angles to 1 and x, and the line at its centre, seed ${SEED}`, () => {
    fc.assert(
      fc.property(points, (data) => {
        const x = data.map((point) => point.x);
        const line = ordinaryLine(
          x,
          data.map((point) => point.y),
        );
        if (line === null || line.sxx < 1e-3) return;
        const scale = 1e-10 * (1 + Math.abs(line.slope)) * 1e4 * x.length;
        expect(Math.abs(line.residuals.reduce((sum, r) => sum + r, 0))).toBeLessThan(scale);
        expect(
          Math.abs(line.residuals.reduce((sum, r, i) => sum + r * (x[i]! - line.meanX), 0)),
        ).toBeLessThan(scale);
        expect(lineAt(line, line.meanX)).toBe(line.meanY);
      }),
      { seed: SEED, numRuns: 200 },
    );
  });

  it(`finds a Huber line that no small move improves, by its own criterion at its own scale, seed ${SEED}`, () => {
    fc.assert(
      fc.property(points, (data) => {
        const x = data.map((point) => point.x);
        const y = data.map((point) => point.y);
        const line = huberLine(x, y, 1.5);
        if (line === null || line.iterations >= 200 || line.scale < 1e-3) return;
        const spread = madScale(x);
        if (!(spread > 1)) return;
        const limit = 1.5 * line.scale;
        const loss = (slope: number, intercept: number) =>
          x.reduce((sum, value, i) => {
            const size = Math.abs(y[i]! - intercept - slope * value);
            return sum + (size <= limit ? (size * size) / 2 : limit * (size - limit / 2));
          }, 0);
        const best = loss(line.slope, line.intercept);
        for (const [ds, di] of [
          [1e-3, 0],
          [-1e-3, 0],
          [0, 0.05],
          [0, -0.05],
          [1e-3, -0.05],
          [-1e-3, 0.05],
        ] as const) {
          expect(loss(line.slope + ds, line.intercept + di)).toBeGreaterThanOrEqual(best * (1 - 1e-6));
        }
      }),
      { seed: SEED, numRuns: 300 },
    );
  });

  it(`finds back any noiseless power law, seed ${SEED}`, () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e-9, max: 1e3, noNaN: true }),
        fc.double({ min: -2, max: 3, noNaN: true }),
        (k, n) => {
          const x = [1.4e5, 2.1e5, 2.8e5, 3.4e5, 4.1e5];
          const fit = powerLaw(
            x,
            x.map((value) => k * value ** n),
          );
          if (!fit.ok) throw new Error(fit.because);
          expect(fit.value.exponent).toBeCloseTo(n, 9);
          expect(fit.value.coefficient / k).toBeCloseTo(1, 7);
        },
      ),
      { seed: SEED, numRuns: 200 },
    );
  });

  it('carries the line through two wild bumps in a steady pour, where least squares is carried away', () => {
    const x = Array.from({ length: 60 }, (_, i) => i / 10);
    const y = x.map((t, i) => 25 * t + (i % 3) - 1 + (i === 20 || i === 21 ? 300 : 0));
    expect(Math.abs(huberLine(x, y)!.slope - 25)).toBeLessThan(0.1);
    expect(Math.abs(ordinaryLine(x, y)!.slope - 25)).toBeGreaterThan(1);
  });

  it('combines parts of 1e-9 m³/s without losing their degrees of freedom', () => {
    const small = combineUncertainty([
      { standardUncertainty: 3e-120, degreesOfFreedom: 4 },
      { standardUncertainty: 4e-120, degreesOfFreedom: 9 },
    ]);
    expect(small.degreesOfFreedom).toBeCloseTo(625 / (81 / 4 + 256 / 9), 9);
    expect(combineUncertainty([])).toEqual({ standardUncertainty: 0, degreesOfFreedom: Infinity });
  });

  it('keeps a tiny scatter on a large offset', () => {
    const line = meanAndDeviation([1e12 + 1, 1e12 + 2, 1e12 + 3]);
    expect(line).toMatchObject({ mean: 1e12 + 2, standardDeviation: 1 });
    expect(pooledDeviation([[1e12 + 1, 1e12 + 3]])?.standardDeviation).toBeCloseTo(Math.SQRT2, 12);
    expect(birgeRatio([1e12, 1e12 + 4], [1, 1])).toBeCloseTo(2.82843, 4);
  });
});
