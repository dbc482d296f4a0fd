import { describe, expect, it } from 'vitest';
import { Random } from '../../src/simulation/random.ts';
import { Rig, usualDial, type RigFault } from '../../src/simulation/rig.ts';

const PSI = 6894.757293168;
const k = 4.8e-8;
const steady = { protocol: 'set-once', standardDeviation_Pa: 0 } as const;

function flowAt(psi: number, fault?: RigFault): number {
  const rig = new Rig(
    { nozzleConstant_m3_per_s_per_sqrtPa: k, ...(fault && { fault }) },
    steady,
    new Random(1),
  );
  rig.set(psi * PSI);
  return rig.flow_m3_per_s;
}

describe('the simulated rig', () => {
  it('lands anew at every turn of a free knob, with the stated spread and no bias', () => {
    const rig = new Rig({ nozzleConstant_m3_per_s_per_sqrtPa: k }, usualDial, new Random(12));
    const errors_psi: number[] = [];
    for (let i = 0; i < 2000; i += 1) {
      rig.set(30 * PSI);
      rig.set(40 * PSI);
      errors_psi.push(rig.truePressure_Pa / PSI - 40);
    }
    const mean = errors_psi.reduce((sum, x) => sum + x, 0) / errors_psi.length;
    const sd = Math.sqrt(errors_psi.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (errors_psi.length - 1));
    // standard errors: 0.034 and 0.024 psi
    expect(Math.abs(mean)).toBeLessThan(0.14);
    expect(Math.abs(sd - 1.5)).toBeLessThan(0.1);
  });

  it('does not move when the dial is left where it points', () => {
    const rig = new Rig({ nozzleConstant_m3_per_s_per_sqrtPa: k }, usualDial, new Random(12));
    rig.set(40 * PSI);
    const before_Pa = rig.truePressure_Pa;
    rig.set(40 * PSI);
    expect(rig.truePressure_Pa).toBe(before_Pa);
  });

  it('comes back to the same wrong pressure with a dial that clicks', () => {
    const dial = { ...usualDial, protocol: 'set-once' } as const;
    const rig = new Rig({ nozzleConstant_m3_per_s_per_sqrtPa: k }, dial, new Random(12));
    rig.set(40 * PSI);
    const first_Pa = rig.truePressure_Pa;
    rig.set(60 * PSI);
    rig.set(40 * PSI);
    expect(rig.truePressure_Pa).toBe(first_Pa);
    expect(first_Pa).not.toBe(40 * PSI);
  });

  it('drives the flow of k times the root of the pressure', () => {
    expect(flowAt(40)).toBeCloseTo(k * Math.sqrt(275790.29), 12);
    expect(flowAt(80) / flowAt(20)).toBeCloseTo(2, 9);
  });

  it('shows each fault as its own shape of curve', () => {
    const ratio = (psi: number, fault: RigFault): number => flowAt(psi, fault) / flowAt(psi);
    expect(ratio(20, { kind: 'worn', share: 0.1 })).toBeCloseTo(1.1, 9);
    expect(ratio(60, { kind: 'restricted', share: 0.2 })).toBeCloseTo(0.8, 9);
    expect(ratio(40, { kind: 'leaking', share: 0.05 })).toBeCloseTo(1.05, 9);
    expect(ratio(60, { kind: 'leaking', share: 0.05 })).toBeGreaterThan(1.06);
    expect(flowAt(60, { kind: 'pump-limited', pressure_Pa: 45 * PSI })).toBeCloseTo(flowAt(45), 15);
    expect(flowAt(30, { kind: 'pump-limited', pressure_Pa: 45 * PSI })).toBe(flowAt(30));
    expect(flowAt(40, { kind: 'dial-high', offset_Pa: 4 * PSI })).toBeCloseTo(flowAt(36), 15);
  });
});
