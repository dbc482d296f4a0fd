import { describe, expect, it } from 'vitest';
import { birgeRatio } from '../../../src/base/statistics/birge-ratio.ts';
import {
  chiSquareCdf,
  chiSquareQuantile,
  fCdf,
  fQuantile,
  normalQuantile,
  tCdf,
  tQuantile,
} from '../../../src/base/statistics/distributions.ts';
import { grubbsTest } from '../../../src/base/statistics/grubbs.ts';
import { huberLine } from '../../../src/base/statistics/huber-line.ts';
import { lackOfFit } from '../../../src/base/statistics/lack-of-fit.ts';
import { lackOfFitFromRepeats } from '../../../src/base/statistics/lack-of-fit-from-repeats.ts';
import { lineThroughOrigin } from '../../../src/base/statistics/line-through-origin.ts';
import { meanAndDeviation } from '../../../src/base/statistics/mean-and-deviation.ts';
import { madScale, median } from '../../../src/base/statistics/median.ts';
import { ordinaryLine } from '../../../src/base/statistics/ordinary-line.ts';
import { pooledDeviation } from '../../../src/base/statistics/pooled-deviation.ts';
import { polynomialFit } from '../../../src/base/statistics/polynomial.ts';
import { powerLaw } from '../../../src/base/statistics/power-law.ts';
import { quantile } from '../../../src/base/statistics/quantile.ts';
import { theilSenLine } from '../../../src/base/statistics/theil-sen-line.ts';
import { theilSenSlope } from '../../../src/base/statistics/theil-sen.ts';
import { weightedLineThroughOrigin } from '../../../src/base/statistics/weighted-through-origin.ts';
import { combineUncertainty } from '../../../src/base/statistics/welch-satterthwaite.ts';
import { yorkLine } from '../../../src/base/statistics/york-line.ts';

// The values are arithmetic that can be done by hand, except the four distributions, which are checked in tests/published.
describe('the example in each docstring of base/statistics holds', () => {
  it('holds for the distributions', () => {
    expect(tQuantile(0.975, 10)).toBeCloseTo(2.228, 3);
    expect(tCdf(2.228, 10)).toBeCloseTo(0.975, 4);
    expect(normalQuantile(0.975)).toBeCloseTo(1.95996, 5);
    expect(chiSquareCdf(18.307, 10)).toBeCloseTo(0.95, 5);
    expect(chiSquareQuantile(0.95, 10)).toBeCloseTo(18.307, 3);
    expect(fCdf(2.7905, 6, 15)).toBeCloseTo(0.95, 5);
    expect(fQuantile(0.95, 6, 15)).toBeCloseTo(2.7905, 4);
  });

  it('holds for location and scale', () => {
    expect(median([5, 1, 4, 2])).toBe(3);
    expect(madScale([1, 2, 3, 4, 100])).toBeCloseTo(1.4826, 4);
    expect(meanAndDeviation([2, 4, 6])).toMatchObject({ mean: 4, standardDeviation: 2 });
    expect(quantile([1, 2, 3, 4, 5], 0.25, 7)).toBe(2);
    expect(pooledDeviation([[1, 3], [10, 12], [5]])?.standardDeviation).toBeCloseTo(Math.SQRT2, 12);
    expect(birgeRatio([0, 4], [1, 1])).toBeCloseTo(2.82843, 5);
  });

  it('holds for the lines', () => {
    expect(ordinaryLine([0, 1, 2], [1, 3, 5])?.slope).toBeCloseTo(2, 14);
    expect(lineThroughOrigin([1, 2], [3, 6])?.slope).toBe(3);
    expect(weightedLineThroughOrigin([1, 2], [3, 6], [1, 1])?.slope).toBe(3);
    expect(theilSenSlope([0, 1, 2, 3], [0, 1, 2, 90])).toBeCloseTo(15.5, 12);
    expect(theilSenLine([0, 1, 2, 3], [1, 3, 5, 7])?.slope).toBe(2);
    expect(huberLine([0, 1, 2, 3, 4, 5, 6], [0, 1, 2, 90, 4, 5, 6], 1.5)?.slope).toBeCloseTo(1, 6);
    expect(yorkLine([0, 1, 2], [1, 3, 5], [0.1, 0.1, 0.1], [0.1, 0.1, 0.1])?.slope).toBeCloseTo(2, 14);
    const square = polynomialFit([0, 1, 2, 3], [1, 2, 5, 10], 2);
    [1, 0, 1].forEach((c, i) => expect(square?.coefficients[i]).toBeCloseTo(c, 13));
    const law = powerLaw([1, 4, 9], [2, 4, 6]);
    if (!law.ok) throw new Error(law.because);
    expect(law.value.coefficient).toBeCloseTo(2, 12);
    expect(law.value.exponent).toBeCloseTo(0.5, 12);
  });

  it('holds for uncertainties and tests', () => {
    const combined = combineUncertainty([
      { standardUncertainty: 3, degreesOfFreedom: 4 },
      { standardUncertainty: 4, degreesOfFreedom: Infinity },
    ]);
    expect(combined.standardUncertainty).toBeCloseTo(5, 14);
    expect(combined.degreesOfFreedom).toBeCloseTo(625 / (81 / 4), 10);
    expect(lackOfFit([1, -1, 1], [1, 1, 1], 1)).toMatchObject({ chiSquare: 3, degreesOfFreedom: 2 });
    expect(lackOfFit([1, -1, 1], [1, 1, 1], 1)?.pValue).toBeCloseTo(Math.exp(-1.5), 10);
    expect(lackOfFitFromRepeats([1, 1, 2, 2, 3, 3], [1, 3, -5, -3, 1, 3], 2)?.statistic).toBeCloseTo(24, 12);
    const outlier = grubbsTest([1, 2, 1, 2, 1, 2, 1, 2, 90]);
    expect(outlier).toMatchObject({ ok: true, value: { index: 8, isOutlier: true } });
  });
});
