import { describe, expect, it } from 'vitest';
import type { CurveInput, SettingProtocol } from '../../../src/analysis/curve/curve-point.ts';
import { findOutlier } from '../../../src/analysis/curve/find-outlier.ts';
import { buildPicture } from '../../../src/analysis/curve/build-picture.ts';
import { fitNozzleCurve } from '../../../src/analysis/curve/nozzle-curve.ts';
import { seededGaussian } from './seeded-gaussian.ts';
import { simulatedSweep } from './simulated-sweep.ts';

function outlierOf(input: CurveInput) {
  const fit = fitNozzleCurve(input);
  if (!fit.ok) throw new Error(fit.because);
  return { found: findOutlier(input, fit.value), curve: fit.value };
}

/** 5 x 3 catches of 0.5 % with one that is wrong by `wild`. */
function sweepWith(wild: number, protocol: SettingProtocol, seed: number): CurveInput {
  const input = simulatedSweep({ protocol, catchRelative: 0.005, dial_psi: 0.5 }, seededGaussian(seed));
  return {
    ...input,
    points: input.points.map((point, i) =>
      i === 10 ? { ...point, flow_m3_per_s: point.flow_m3_per_s * (1 + wild) } : point,
    ),
  };
}

describe('a catch that stands apart from its sweep', () => {
  it.each(['re-set', 'set-once'] as const)('is pointed at, never dropped (%s, seed 3)', (protocol) => {
    const input = sweepWith(-0.08, protocol, 3);
    const { found, curve } = outlierOf(input);
    expect(found?.index).toBe(10);
    expect(found!.statistic).toBeGreaterThan(found!.criticalValue);
    expect(curve.catches).toBe(15);
    const places = input.points.map((_, i) => 100 + i);
    expect(buildPicture(input, curve, places).outlier?.index).toBe(110);
  });

  it.each(['re-set', 'set-once'] as const)(
    'is seldom seen where there is none (%s, 400 sweeps from seed 50)',
    (protocol) => {
      const gaussian = seededGaussian(50);
      const alarms = Array.from({ length: 400 }, () =>
        outlierOf(simulatedSweep({ protocol, catchRelative: 0.01, dial_psi: 1.5 }, gaussian)),
      ).filter(({ found }) => found !== null).length;
      expect(alarms).toBeGreaterThan(1);
      expect(alarms).toBeLessThan(400 * 0.075);
    },
  );

  it('is not looked for among fewer than eight catches, nor where no setting was repeated at a dial left alone', () => {
    const few = sweepWith(-0.5, 're-set', 4);
    expect(outlierOf({ ...few, points: few.points.slice(4, 11) }).found).toBeNull();
    const once = sweepWith(-0.5, 'set-once', 4);
    expect(outlierOf({ ...once, points: once.points.filter((_, i) => i % 3 === 1) }).found).toBeNull();
  });

  it('is found within no setting alone: three of a kind that disagree are no outlier when all settings do', () => {
    const gaussian = seededGaussian(6);
    const input = simulatedSweep({ protocol: 'set-once', catchRelative: 0.01, dial_psi: 0.2 }, gaussian);
    expect(outlierOf(input).found).toBeNull();
  });
});
