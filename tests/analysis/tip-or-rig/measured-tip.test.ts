import { describe, expect, it } from 'vitest';
import { fitNozzleCurve } from '../../../src/analysis/curve/nozzle-curve.ts';
import type { CurveInput } from '../../../src/analysis/curve/curve-point.ts';
import { pointsOfCurve } from '../../../src/analysis/tip-or-rig/measured-tip.ts';

const K = 5e-8;
const input = (protocol: CurveInput['protocol']): CurveInput => ({
  protocol,
  settingStandardUncertainty_Pa: 4000,
  pressureMeasured: false,
  points: [1e5, 1e5, 1e5, 4e5, 4e5, 4e5].map((pressure) => ({
    pressure_Pa: pressure,
    setting_Pa: pressure,
    flow_m3_per_s: K * Math.sqrt(pressure),
    ownStandardUncertainty_m3_per_s: 0.01 * K * Math.sqrt(pressure),
    sharedRelativeStandardUncertainty: 0.02,
  })),
});

describe('a curve as points of the shared model', () => {
  it('has one a setting, own and dial apart again, both divided by the root of the repeats where the knob was re-set', () => {
    const fit = fitNozzleCurve(input('re-set'));
    const points = pointsOfCurve(fit.ok ? fit.value : never());
    expect(points.map((point) => point.setting_Pa)).toEqual([1e5, 4e5]);
    expect(points[1]!.flow_m3_per_s).toBeCloseTo(K * Math.sqrt(4e5), 12);
    expect(points[1]!.ownRelativeStandardUncertainty).toBeCloseTo(0.01 / Math.sqrt(3), 9);
    expect(points[1]!.pressureStandardUncertainty_Pa).toBeCloseTo(4000 / Math.sqrt(3), 3);
  });

  it('keeps the dial’s error whole where it was set once', () => {
    const fit = fitNozzleCurve(input('set-once'));
    const points = pointsOfCurve(fit.ok ? fit.value : never());
    expect(points[0]!.ownRelativeStandardUncertainty).toBeCloseTo(0.01 / Math.sqrt(3), 9);
    expect(points[0]!.pressureStandardUncertainty_Pa).toBeCloseTo(4000, 3);
  });
});

function never(): never {
  throw new Error('no fit');
}
