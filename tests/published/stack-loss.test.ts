import { describe, expect, it } from 'vitest';
import { huberLine } from '../../src/base/statistics/huber-line.ts';
import { madScale } from '../../src/base/statistics/median.ts';

// Brownlee's stack-loss data, 21 rows (from memory; it reproduces the published fit).
const air = [80, 80, 75, 62, 62, 62, 62, 62, 58, 58, 58, 58, 58, 58, 50, 50, 50, 50, 50, 56, 70];
const water = [27, 27, 25, 24, 22, 23, 24, 24, 23, 18, 18, 17, 18, 19, 18, 18, 19, 19, 20, 20, 20];
const acid = [89, 88, 90, 87, 87, 87, 93, 93, 87, 80, 89, 88, 82, 93, 89, 86, 72, 79, 80, 82, 91];
const loss = [42, 37, 37, 28, 18, 18, 19, 20, 15, 14, 14, 13, 11, 12, 8, 7, 8, 8, 9, 15, 15];

// Source: statsmodels documentation of RLM: Huber, c = 1.345, scale MAD about zero.
const published = { constant: -41.026498, air: 0.829384, water: 0.926066, acid: -0.127847 };
const regressors = { air, water, acid };

/*
 * We build a line, not a regression on three columns. But whoever minimises over all four coefficients minimises over any two with the
 * others held: with two slopes at their published values, the line through what is left must have the published slope and constant.
 */
describe('the published Huber fit of the stack-loss data', () => {
  it.each(['air', 'water', 'acid'] as const)(
    'is met by the line over %s, the other two columns held',
    (name) => {
      const others = (Object.keys(regressors) as (keyof typeof regressors)[]).filter(
        (other) => other !== name,
      );
      const left = loss.map((y, i) =>
        others.reduce((rest, other) => rest - published[other] * regressors[other][i]!, y),
      );
      const line = huberLine(regressors[name], left, 1.345)!;
      expect(line.slope).toBeCloseTo(published[name], 4);
      expect(line.intercept).toBeCloseTo(published.constant, 2);
      // 2.440536 recomputed from the published coefficients.
      expect(line.scale).toBeCloseTo(2.4405, 3);
    },
  );

  // Recomputed with the residuals' own median: another convention, other numbers.
  it('takes the scale about zero, not about the residuals’ median', () => {
    const residuals = loss.map(
      (y, i) =>
        y -
        published.constant -
        published.air * air[i]! -
        published.water * water[i]! -
        published.acid * acid[i]!,
    );
    expect(madScale(residuals, 0)).toBeCloseTo(2.4405, 3);
    expect(Math.abs(madScale(residuals) - 2.4405)).toBeGreaterThan(0.01);
  });
});
