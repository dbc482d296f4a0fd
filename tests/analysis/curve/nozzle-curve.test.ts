import { describe, expect, it } from 'vitest';
import { analysedCurve, buildPicture } from '../../../src/analysis/curve/build-picture.ts';
import { compareWithRated } from '../../../src/analysis/curve/compare-with-rated.ts';
import type { CurveInput, CurvePoint } from '../../../src/analysis/curve/curve-point.ts';
import { fitNozzleCurve } from '../../../src/analysis/curve/nozzle-curve.ts';
import type { NozzleCurve } from '../../../src/analysis/curve/nozzle-curve.ts';
import { curveBand, predictFlow } from '../../../src/analysis/curve/predict-flow.ts';
import { settingMeans } from '../../../src/analysis/curve/setting-means.ts';
import { PSI_PA } from '../../../src/base/units/constants.ts';
import { tQuantile } from '../../../src/base/statistics/distributions.ts';

const K = 4.8e-8;

/** "20:1.01 40:1" – setting in psi : flow over K√P; own u 1 % of K√P, shared 0.2 %. */
function sweep(text: string, change: Partial<CurveInput> = {}): CurveInput {
  const points: CurvePoint[] = text
    .split(' ')
    .filter((word) => word !== '')
    .map((word) => {
      const [psi, ratio] = word.split(':').map(Number) as [number, number];
      const nominal = K * Math.sqrt(psi * PSI_PA);
      return {
        pressure_Pa: psi * PSI_PA,
        setting_Pa: psi * PSI_PA,
        flow_m3_per_s: ratio * nominal,
        ownStandardUncertainty_m3_per_s: 0.01 * nominal,
        sharedRelativeStandardUncertainty: 0.002,
      };
    });
  return {
    points,
    protocol: 're-set',
    settingStandardUncertainty_Pa: 1.5 * PSI_PA,
    pressureMeasured: false,
    ...change,
  };
}

function fitted(input: CurveInput): NozzleCurve {
  const fit = fitNozzleCurve(input);
  if (!fit.ok) throw new Error(fit.because);
  return fit.value;
}

const fiveByTwo = '20:1.03 20:0.99 30:0.98 30:1.01 40:1.01 40:1 50:0.99 50:1.02 60:1.01 60:0.995';

describe('fitNozzleCurve', () => {
  it('refuses what it can not fit, and says why', () => {
    expect(fitNozzleCurve(sweep(''))).toMatchObject({ ok: false, because: 'no-catches' });
    expect(fitNozzleCurve(sweep('0:1'))).toMatchObject({ because: 'setting-not-positive' });
    expect(fitNozzleCurve(sweep('20:1 30:-1'))).toMatchObject({ because: 'flow-not-positive' });
    expect(fitNozzleCurve(sweep('20:NaN'))).toMatchObject({ because: 'flow-not-positive' });
  });

  it('gives k but no exponent and no lack of fit from one setting', () => {
    const curve = fitted(sweep('40:1.01 40:0.99 40:1'));
    expect(curve.nozzleConstant_m3_per_s_per_sqrtPa / K).toBeCloseTo(1, 10);
    expect(curve).toMatchObject({
      exponent: null,
      exponentStandardUncertainty: null,
      exponentBecause: 'one-setting-only',
      lackOfFit: null,
      lackOfFitBecause: 'one-setting-only',
      degreesOfFreedom: 2,
    });
  });

  it('says that two catches are only two', () => {
    expect(fitted(sweep('20:1 40:1.01'))).toMatchObject({
      lackOfFit: null,
      lackOfFitBecause: 'two-catches-only',
      exponent: null,
      exponentBecause: 'too-few-settings',
      degreesOfFreedom: 1,
    });
  });

  it('gives k with the stated uncertainties from a single catch', () => {
    const curve = fitted(sweep('40:1'));
    // Arithmetic: own 1 %, dial 1.5 psi / (2 · 40 psi) = 1.875 %, shared 0.2 %.
    const relative =
      curve.nozzleConstantStandardUncertainty_m3_per_s_per_sqrtPa / curve.nozzleConstant_m3_per_s_per_sqrtPa;
    expect(relative).toBeCloseTo(Math.hypot(0.01, 0.01875, 0.002), 10);
    expect(curve.degreesOfFreedom).toBe(0);
    expect(curve.nozzleConstantExpanded95_m3_per_s_per_sqrtPa).toBeCloseTo(1.959964 * relative * K, 12);
  });

  it('does not let more catches at an untouched dial shrink what the dial is worth', () => {
    const relative = (input: CurveInput) => {
      const curve = fitted(input);
      return (
        curve.nozzleConstantOwnStandardUncertainty_m3_per_s_per_sqrtPa /
        curve.nozzleConstant_m3_per_s_per_sqrtPa
      );
    };
    const many = '40:1 40:1.001 40:0.999 40:1 40:1.001 40:0.999';
    expect(relative(sweep(many, { protocol: 'set-once' }))).toBeCloseTo(
      Math.hypot(0.01 / Math.sqrt(6), 0.01875),
      4,
    );
    expect(relative(sweep(many))).toBeCloseTo(Math.hypot(0.01, 0.01875) / Math.sqrt(6), 4);
  });

  it('fits every catch when the knob was re-set, and setting means when it was set once', () => {
    const each = fitted(sweep(fiveByTwo));
    expect(each).toMatchObject({ degreesOfFreedom: 9, catches: 10, settings: 5 });
    expect(each.residuals_m3_per_s).toHaveLength(10);
    const means = fitted(sweep(fiveByTwo, { protocol: 'set-once' }));
    expect(means).toMatchObject({ degreesOfFreedom: 4, catches: 10, settings: 5 });
    expect(means.points.map((point) => point.catches)).toEqual([
      [0, 1],
      [2, 3],
      [4, 5],
      [6, 7],
      [8, 9],
    ]);
    expect(each.lackOfFit?.degreesOfFreedom).toBe(4);
    expect(means.lackOfFit?.degreesOfFreedom).toBe(4);
  });

  it('adds the shared part to k once, after the weights, and lets it change neither k nor the fit test', () => {
    const without = sweep(fiveByTwo);
    const shared = {
      ...without,
      points: without.points.map((point) => ({ ...point, sharedRelativeStandardUncertainty: 0.03 })),
    };
    const none = {
      ...without,
      points: without.points.map((point) => ({ ...point, sharedRelativeStandardUncertainty: 0 })),
    };
    const [a, b] = [fitted(shared), fitted(none)];
    expect(a.nozzleConstant_m3_per_s_per_sqrtPa).toBe(b.nozzleConstant_m3_per_s_per_sqrtPa);
    expect(a.lackOfFit).toEqual(b.lackOfFit);
    expect(a.nozzleConstantStandardUncertainty_m3_per_s_per_sqrtPa).toBeCloseTo(
      Math.hypot(
        b.nozzleConstantStandardUncertainty_m3_per_s_per_sqrtPa,
        0.03 * a.nozzleConstant_m3_per_s_per_sqrtPa,
      ),
      16,
    );
  });

  it('uses what the repeats show, and says so, when a free knob repeats far worse than stated', () => {
    const wild = sweep('20:1.15 20:0.85 30:1.12 30:0.88 40:1.1 40:0.9 50:1.09 50:0.91', {});
    const curve = fitted(wild);
    expect(curve.warnings).toEqual(['dial-repeats-worse-than-stated']);
    expect(curve.effectiveDegreesOfFreedom).toBeCloseTo(4, 1);
    const stated = Math.hypot(0.01, 1.5 / 40) * K * Math.sqrt(20 * PSI_PA);
    expect(curve.points[0]!.standardUncertainty_m3_per_s).toBeGreaterThan(2.5 * stated);
    expect(fitted({ ...wild, protocol: 'set-once' }).warnings).toEqual([]);
  });

  it('holds the flow against measured pressures only when told that they were measured', () => {
    const input = sweep('20:1 40:1 60:1');
    const moved = {
      ...input,
      points: input.points.map((point) => ({ ...point, pressure_Pa: point.pressure_Pa * 1.21 })),
    };
    expect(fitted(moved).nozzleConstant_m3_per_s_per_sqrtPa / K).toBeCloseTo(1, 10);
    expect(fitted({ ...moved, pressureMeasured: true }).nozzleConstant_m3_per_s_per_sqrtPa / K).toBeCloseTo(
      1 / 1.1,
      10,
    );
  });

  it('takes no scatter from repeats whose measured pressures explain it', () => {
    const input = sweep('20:1 20:1 40:1 40:1', {
      pressureMeasured: true,
      settingStandardUncertainty_Pa: 100,
    });
    const points = input.points.map((point, i) => {
      const pressure_Pa = point.pressure_Pa * (i % 2 === 0 ? 1.1 : 0.9);
      return { ...point, pressure_Pa, flow_m3_per_s: K * Math.sqrt(pressure_Pa) };
    });
    const curve = fitted({ ...input, points });
    expect(curve.warnings).toEqual([]);
    expect(curve.lackOfFit?.chiSquare).toBeLessThan(1e-20);
  });

  it('throws for uncertainties that would make a weight infinite or no number', () => {
    const input = sweep('20:1 40:1', { settingStandardUncertainty_Pa: 0 });
    const points = input.points.map((point) => ({ ...point, ownStandardUncertainty_m3_per_s: 0 }));
    expect(() => fitNozzleCurve({ ...input, points })).toThrow(RangeError);
  });
});

describe('predictFlow', () => {
  const curve = fitted(sweep(fiveByTwo));

  it('reads the curve inside the measured pressures and a tenth beyond, and refuses farther out', () => {
    expect(predictFlow(curve, 40 * PSI_PA)).toMatchObject({ ok: true });
    expect(predictFlow(curve, 18 * PSI_PA)).toMatchObject({ ok: true });
    expect(predictFlow(curve, 66 * PSI_PA)).toMatchObject({ ok: true });
    for (const psi of [17.9, 66.1, 0, -5, NaN]) {
      expect(predictFlow(curve, psi * PSI_PA)).toMatchObject({
        ok: false,
        because: 'outside-measured-range',
      });
    }
  });

  it('gives the next setting a wider ± than the curve itself, by what one setting is worth', () => {
    const flow = predictFlow(curve, 20 * PSI_PA);
    if (!flow.ok) throw new Error(flow.because);
    const { flow_m3_per_s: q, expandedUncertainty95_m3_per_s: band } = flow.value;
    expect(flow.value.nextSettingExpandedUncertainty95_m3_per_s / q).toBeCloseTo(
      Math.hypot(band / q, 1.96 * (1.5 / 40)),
      3,
    );
  });

  it('gives band columns at ascending pressures over the whole range', () => {
    const band = curveBand(curve, 11);
    expect(band.pressures_Pa).toHaveLength(11);
    expect(band.pressures_Pa[0]! / PSI_PA).toBeCloseTo(18, 9);
    expect(band.pressures_Pa[10]! / PSI_PA).toBeCloseTo(66, 9);
    expect([...band.pressures_Pa].sort((a, b) => a - b)).toEqual(band.pressures_Pa);
    band.pressures_Pa.forEach((pressure, i) => {
      const share = band.bandHalfWidth_m3_per_s[i]! / Math.sqrt(pressure);
      expect(share).toBeCloseTo(curve.nozzleConstantExpanded95_m3_per_s_per_sqrtPa, 15);
    });
    expect(() => curveBand(curve, 1)).toThrow(RangeError);
  });
});

describe('compareWithRated', () => {
  const rated = (ratio: number) => ({
    ratedFlow_m3_per_s: (K * Math.sqrt(40 * PSI_PA)) / ratio,
    ratedPressure_Pa: 40 * PSI_PA,
  });
  const curve = fitted(sweep('20:1 30:1 40:1 50:1 60:1 20:1 30:1 40:1 50:1 60:1 20:1 30:1 40:1 50:1 60:1'));

  it('compares with 10 % above rated unless told otherwise, and speaks only when the whole interval is on one side', () => {
    const verdict = (ratio: number, limitRatio?: number) => {
      const result = compareWithRated(curve, rated(ratio), limitRatio === undefined ? {} : { limitRatio });
      if (!result.ok) throw new Error(result.because);
      expect(result.value.ratio).toBeCloseTo(ratio, 9);
      return result.value.verdict;
    };
    expect(verdict(1)).toBe('below-limit');
    expect(verdict(1.09)).toBe('cannot-tell-yet');
    expect(verdict(1.11)).toBe('cannot-tell-yet');
    expect(verdict(1.2)).toBe('above-limit');
    expect(verdict(1.2, 1.3)).toBe('below-limit');
  });

  // measurement rule 11.4: 1.5 psi shared biases k by 1.7 %.
  it("adds the dial's shared offset, worth 1.7 % of k for 1.5 psi, unless the dial was read at zero", () => {
    expect(1.5 * PSI_PA * curve.offsetSensitivity_per_Pa).toBeCloseTo(0.017, 3);
    const wide = compareWithRated(curve, rated(1));
    const narrow = compareWithRated(curve, rated(1), { sharedOffsetStandardUncertainty_Pa: 0.1 * PSI_PA });
    if (!wide.ok || !narrow.ok) throw new Error('refused');
    const k =
      curve.nozzleConstantStandardUncertainty_m3_per_s_per_sqrtPa / curve.nozzleConstant_m3_per_s_per_sqrtPa;
    expect(wide.value.ratioExpandedUncertainty95).toBeCloseTo(
      1.96 * Math.hypot(k, 1.5 * PSI_PA * curve.offsetSensitivity_per_Pa),
      4,
    );
    expect(narrow.value.ratioExpandedUncertainty95).toBeLessThan(wide.value.ratioExpandedUncertainty95 / 2);
    const settled = compareWithRated(curve, rated(1.12), {
      sharedOffsetStandardUncertainty_Pa: 0.1 * PSI_PA,
    });
    expect(settled).toMatchObject({ value: { verdict: 'above-limit' } });
    expect(compareWithRated(curve, rated(1.12))).toMatchObject({ value: { verdict: 'cannot-tell-yet' } });
  });

  it('halves a gain error of the dial on its way into the ratio', () => {
    const plain = compareWithRated(curve, rated(1), { sharedOffsetStandardUncertainty_Pa: 0 });
    const gain = compareWithRated(curve, rated(1), {
      sharedOffsetStandardUncertainty_Pa: 0,
      sharedGainRelativeStandardUncertainty: 0.08,
    });
    if (!plain.ok || !gain.ok) throw new Error('refused');
    expect(gain.value.ratioExpandedUncertainty95).toBeCloseTo(
      Math.hypot(plain.value.ratioExpandedUncertainty95, 1.96 * 0.04),
      4,
    );
  });

  it('refuses without a rating, with a rating that is none, and where nothing was measured', () => {
    expect(compareWithRated(curve, { ratedFlow_m3_per_s: null, ratedPressure_Pa: 1 })).toMatchObject({
      because: 'no-rated-flow',
    });
    expect(compareWithRated(curve, { ratedFlow_m3_per_s: 0, ratedPressure_Pa: 1 })).toMatchObject({
      because: 'flow-not-positive',
    });
    expect(compareWithRated(curve, { ratedFlow_m3_per_s: 1, ratedPressure_Pa: -1 })).toMatchObject({
      because: 'setting-not-positive',
    });
    expect(compareWithRated(curve, { ratedFlow_m3_per_s: 1, ratedPressure_Pa: 100 * PSI_PA })).toMatchObject({
      because: 'outside-measured-range',
    });
  });
});

describe('settingMeans', () => {
  it('gives each setting once, ascending, with the catches it holds', () => {
    const means = settingMeans(sweep('40:1.02 20:1 40:0.98 20:1.02'));
    expect(means.map((mean) => Math.round(mean.setting_Pa / PSI_PA))).toEqual([20, 40]);
    expect(means.map((mean) => mean.catches)).toEqual([
      [1, 3],
      [0, 2],
    ]);
    expect(means[1]!.flow_m3_per_s / (K * Math.sqrt(40 * PSI_PA))).toBeCloseTo(1, 12);
    expect(settingMeans(sweep(''))).toEqual([]);
  });

  it('pools the scatter of repeats over the settings, with their degrees of freedom in t', () => {
    // Deviations of ±2 % and ±2 % of own 1 %: pooled variance 8 times the stated, 2 degrees of freedom.
    const means = settingMeans(sweep('20:1.02 20:0.98 40:1.02 40:0.98', { protocol: 'set-once' }));
    const expected = tQuantile(0.975, 2) * 0.01 * Math.sqrt(8 / 2);
    for (const mean of means) {
      expect(mean.expandedUncertainty95_m3_per_s / mean.flow_m3_per_s).toBeCloseTo(expected, 10);
    }
  });

  it('never claims less than the catches claim for themselves', () => {
    const means = settingMeans(sweep('20:1 20:1 40:1 40:1', { protocol: 'set-once' }));
    for (const mean of means) {
      expect(mean.expandedUncertainty95_m3_per_s / mean.flow_m3_per_s).toBeCloseTo(
        (1.959964 * 0.01) / Math.SQRT2,
        7,
      );
    }
  });

  it('does not hold the jet’s allowance against means of repeats, which show its drift themselves; alone it stands', () => {
    const input = sweep('20:1.0001 20:0.9999 40:1 40:1.0001 60:1 60:0.9999', { protocol: 'set-once' });
    const withJet = input.points.map((point) => ({
      ...point,
      seenInRepeats_m3_per_s: 0.9 * point.ownStandardUncertainty_m3_per_s,
    }));
    const relative = (points: readonly CurvePoint[]): number => {
      const [mean] = settingMeans({ ...input, points });
      return mean!.expandedUncertainty95_m3_per_s / mean!.flow_m3_per_s;
    };
    // 1 % own, two catches, t of known parts; without the jet √(1 − 0.81) of it (arithmetic).
    expect(relative(input.points)).toBeCloseTo((1.96 * 0.01) / Math.SQRT2, 4);
    expect(relative(withJet)).toBeCloseTo((1.96 * 0.01 * Math.sqrt(0.19)) / Math.SQRT2, 4);
    const alone = withJet.filter((_, i) => i % 2 === 0);
    expect(relative(alone)).toBeCloseTo(1.96 * 0.01, 4);
  });

  it('lets the dial into a single catch at a knob that was re-set, and not at one left alone', () => {
    const [free] = settingMeans(sweep('40:1'));
    const [still] = settingMeans(sweep('40:1', { protocol: 'set-once' }));
    expect(free!.expandedUncertainty95_m3_per_s / free!.flow_m3_per_s).toBeCloseTo(
      1.959964 * Math.hypot(0.01, 0.01875),
      6,
    );
    expect(still!.expandedUncertainty95_m3_per_s / still!.flow_m3_per_s).toBeCloseTo(1.959964 * 0.01, 6);
  });
});

describe('the curve as the analysis prints it', () => {
  it('names catches by their place in the analysis, in the order of the residuals', () => {
    const input = sweep('40:1.01 20:0.99 40:0.98 30:1');
    const printed = analysedCurve(fitted(input), [0, 2, 3, 7]);
    expect(printed.used).toEqual([0, 2, 3, 7]);
    expect(printed.residuals_m3_per_s).toHaveLength(4);
    const once = analysedCurve(fitted({ ...input, protocol: 'set-once' }), [0, 2, 3, 7]);
    expect(once.used).toEqual([2, 7, 0, 3]);
    expect(once.residuals_m3_per_s).toHaveLength(3);
    expect(() => analysedCurve(fitted(input), [0])).toThrow(RangeError);
  });

  it('has a reason beside every null and none beside a number', () => {
    const full = analysedCurve(fitted(sweep(fiveByTwo)), [0, 1, 2, 3, 4, 5, 6, 7, 8, 9]);
    expect(Object.keys(full).filter((key) => key.endsWith('Because'))).toEqual([]);
    const poor = analysedCurve(fitted(sweep('40:1')), [0]);
    expect(poor).toMatchObject({
      exponent: null,
      exponentBecause: 'one-setting-only',
      exponentStandardUncertaintyBecause: 'one-setting-only',
      lackOfFit: null,
      lackOfFitBecause: 'one-setting-only',
    });
  });

  it('makes a picture whose every number is finite, with the rating or the reason why not', () => {
    const input = sweep(fiveByTwo);
    const curve = fitted(input);
    const indices = input.points.map((_, i) => i);
    const bare = buildPicture(input, curve, indices);
    expect(bare).toMatchObject({ rated: null, ratedBecause: 'no-rated-flow' });
    const tip = { ratedFlow_m3_per_s: 2.5e-5, ratedPressure_Pa: 40 * PSI_PA };
    const rated = buildPicture(input, curve, indices, compareWithRated(curve, tip));
    expect(rated.ratedBecause).toBeNull();
    expect(rated.settings).toHaveLength(5);
    const far = compareWithRated(curve, { ...tip, ratedPressure_Pa: 200 * PSI_PA });
    expect(buildPicture(input, curve, indices, far).ratedBecause).toBe('outside-measured-range');
    const numbers: number[] = [];
    JSON.stringify(rated, (_, value: unknown) => {
      if (typeof value === 'number') numbers.push(value);
      return value;
    });
    expect(numbers.length).toBeGreaterThan(200);
    expect(numbers.every(Number.isFinite)).toBe(true);
  });
});
