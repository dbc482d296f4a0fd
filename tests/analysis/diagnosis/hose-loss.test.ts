import { describe, expect, it } from 'vitest';
import { pressureLost_Pa } from '../../../src/analysis/diagnosis/hose-loss.ts';
import { hoseLoss_Pa } from '../../../src/base/hose-loss.ts';
import { FOOT_M, MINUTE_S, PSI_PA, US_GALLON_M3 } from '../../../src/base/units/constants.ts';

const GPM = US_GALLON_M3 / MINUTE_S;
const unknown = { gaugeAt: null, hoseLength_m: null, hoseBore_m: null, tipAboveGauge_m: null };

describe('pressure lost on the way', () => {
  // Measurement 11.5: smooth pipe, 300 ft of 1/2 in.
  it.each([
    [1, 5],
    [2, 15],
    [4, 52],
  ])('300 ft of 1/2 in at %f gal/min lose about %f psi', (gpm, psi) => {
    expect(hoseLoss_Pa(gpm * GPM, 300 * FOOT_M, 0.0127) / PSI_PA).toBeCloseTo(psi, -0.31);
  });

  // Hagen-Poiseuille: Δp = 128·μ·L·Q/(π·d⁴), with μ = ν·ρ; any text of hydraulics.
  it('is Hagen-Poiseuille’s in slow water: twice the flow, twice the loss', () => {
    const bore = 0.008;
    const flow = 5e-6; // Re 790
    const direct = (128 * 1.004e-6 * 998.2 * 10 * flow) / (Math.PI * bore ** 4);
    expect(hoseLoss_Pa(flow, 10, bore)).toBeCloseTo(direct, 6);
    expect(hoseLoss_Pa(2 * flow, 10, bore) / direct).toBeCloseTo(2, 9);
  });

  it('grows as flow to 1.75 in turbulent water, and never falls with the flow in between', () => {
    expect(hoseLoss_Pa(2e-4, 10, 0.01) / hoseLoss_Pa(1e-4, 10, 0.01)).toBeCloseTo(2 ** 1.75, 9);
    let before = 0;
    for (let flow = 1e-6; flow < 1e-4; flow *= 1.02) {
      const lost = hoseLoss_Pa(flow, 1, 0.008);
      expect(lost).toBeGreaterThan(before);
      before = lost;
    }
    expect(hoseLoss_Pa(0, 10, 0.01)).toBe(0);
  });

  it('is 1.4 psi a metre of height, nothing at a gauge on the wand, unknown for a rig that nobody described', () => {
    const rig = { gaugeAt: 'pump' as const, hoseLength_m: 0, hoseBore_m: 0.008, tipAboveGauge_m: 1 };
    expect(pressureLost_Pa(rig, 2e-5)! / PSI_PA).toBeCloseTo(1.42, 2);
    expect(pressureLost_Pa({ ...unknown, gaugeAt: 'wand' }, 2e-5)).toBe(0);
    expect(pressureLost_Pa(unknown, 2e-5)).toBeNull();
    expect(pressureLost_Pa({ ...rig, hoseBore_m: null }, 2e-5)).toBeNull();
  });
});

it('no length loses nothing, whatever the bore; a bore of nothing says nothing', () => {
  const rig = { gaugeAt: 'pump' as const, hoseLength_m: 0, hoseBore_m: 1e-300, tipAboveGauge_m: 0 };
  expect(pressureLost_Pa(rig, 2e-5)).toBe(0);
  expect(pressureLost_Pa({ ...rig, hoseLength_m: 10 }, 2e-5)).toBeNull();
});
