import { describe, expect, it } from 'vitest';
import { asEarlier } from '../../../src/analysis/diagnosis/diagnosis.ts';
import type { RigCheckFound } from '../../../src/analysis/diagnosis/evidence.ts';
import { PSI_PA } from '../../../src/base/units/constants.ts';
import { Random } from '../../../src/simulation/random.ts';
import { madeSweep, TRUE_K } from '../../benchmarks/findings-parts/made-findings.ts';
import type { Design, Truth } from '../../benchmarks/findings-parts/made-findings.ts';
import { diagnosed, inputOf } from './made.ts';

const design: Design = {
  name: 'fine',
  protocol: 're-set',
  catchRelative: 0.003,
  dial_psi: 0.25,
  reference: 0.01,
};
const dialAtZero = (psi: number): RigCheckFound => {
  return { kind: 'dial-at-zero', shown_Pa: psi * PSI_PA, standardUncertainty_Pa: 0.7 * PSI_PA };
};
const stopsAt = (psi: number): RigCheckFound => {
  return { kind: 'flow-stops-at', shown_Pa: psi * PSI_PA, standardUncertainty_Pa: PSI_PA };
};
const found = (truth: Truth, checks: readonly RigCheckFound[], seed = 3) =>
  diagnosed(inputOf(madeSweep(design, truth, new Random(seed)), design.reference, { checks }));

describe('a dial that reads high and a check valve are one curve', () => {
  const dialHigh = { name: 'dial', dialOffset_psi: 5 };
  const valve = { name: 'valve', threshold_psi: [8, 8] } as const;

  it('without a check of the rig neither is said, and reading the dial at zero is what would tell', () => {
    for (const truth of [dialHigh, valve]) {
      const one = found(truth, []);
      expect(one.said).toBe('dial-high-or-check-valve');
      expect(one.settledBy[0]).toBe('dial-at-zero');
    }
  });

  it('the pressure at which the flow stops alone does not tell them apart: the dial shows its own offset there too', () => {
    expect(found(dialHigh, [stopsAt(5)]).said).toBe('dial-high-or-check-valve');
    expect(found(valve, [stopsAt(8)]).said).toBe('dial-high-or-check-valve');
  });

  it('the dial at zero tells; the documented cause stays the merged one', () => {
    const dial = found(dialHigh, [dialAtZero(5)]);
    expect(dial.said).toBe('dial-high');
    expect(dial.finding.cause).toBe('threshold-or-dial-high');
    expect(dial.settledBy).not.toContain('dial-at-zero');
    const spring = found(valve, [dialAtZero(0), stopsAt(8)]);
    expect(spring.said).toBe('check-valve');
    expect(spring.finding.cause).toBe('threshold-or-dial-high');
  });

  it('checks that contradict the curve are not overruled: nothing known fits', () => {
    const one = found(dialHigh, [dialAtZero(5), stopsAt(25)]);
    expect(one.finding.fits).toBe(false);
    expect(one.said).toBeNull();
  });

  it('two sweeps in a row that nothing known fits are one finding: then it is no longer seen for the first time', () => {
    const made = madeSweep(design, dialHigh, new Random(3));
    const checks = [dialAtZero(5), stopsAt(25)];
    const of = (earlierFinding: string | null) =>
      diagnosed(inputOf(made, design.reference, { checks, earlierFinding }));
    const first = of(null);
    expect(first).toMatchObject({ said: null, standing: 'look-again' });
    expect(first.settledBy).toContain('second-sweep');
    const again = of(asEarlier(first.finding));
    expect(again).toMatchObject({ said: null, standing: 'found-twice' });
    expect(again.settledBy).not.toContain('second-sweep');
    // The cause that came nearest was not found: it makes no second finding of a sweep that it fits.
    expect(of(first.finding.cause).standing).toBe('look-again');
    const fitted = found(dialHigh, [dialAtZero(5)]);
    const next = madeSweep(design, dialHigh, new Random(4));
    const after = diagnosed(
      inputOf(next, design.reference, {
        checks: [dialAtZero(5)],
        earlierFinding: asEarlier(first.finding),
      }),
    );
    expect(fitted.finding.cause).toBe(first.finding.cause);
    expect(after.standing).toBe('look-again');
  });

  it('the last check of a kind counts', () => {
    expect(found(valve, [dialAtZero(8), dialAtZero(0)]).said).toBe('check-valve');
  });
});

describe('a needle on its stop pin', () => {
  const dialLow = { name: 'low', dialOffset_psi: -4 };

  it('shows nothing at no pressure while the dial reads low: that does not clear the dial', () => {
    const one = found(dialLow, [dialAtZero(0)]);
    expect(one.finding).toMatchObject({ cause: 'dial-low', fits: true });
    expect(one.settledBy).not.toContain('dial-at-zero');
    expect(one.settledBy).toContain('wand-gauge');
  });

  it('a needle that is free to show a little speaks: then a dial 4 psi low is no longer believed', () => {
    expect(found(dialLow, [dialAtZero(0.1)]).said).not.toBe('dial-low');
    expect(found(dialLow, [dialAtZero(-4)]).said).toBe('dial-low');
  });
});

it('a blank tip that drips makes a leak certain, and a dry one takes it off the list', () => {
  const coarse: Design = { ...design, catchRelative: 0.01, dial_psi: 1.5 };
  const at60 = TRUE_K * Math.sqrt(60 * PSI_PA);
  const blank = (share: number): RigCheckFound => ({
    kind: 'blank-tip',
    leak_m3_per_s: share * at60,
    standardUncertainty_m3_per_s: 5e-8,
    pressure_Pa: 60 * PSI_PA,
  });
  for (let seed = 0; seed < 40; seed++) {
    const leaking = madeSweep(coarse, { name: 'leak', leakShare: [0.04, 0.04] }, new Random(seed));
    const leak = diagnosed(inputOf(leaking, 0.01, { checks: [blank(0.04)] }));
    expect(leak.finding.cause).toBe('leaking');
    expect(leak.finding.orElse).toBeNull();
    expect(leak.size!.value).toBeCloseTo(0.04, 2);
    const worn = madeSweep(coarse, { name: 'worn', factor: [1.07, 1.07] }, new Random(seed));
    const dry = diagnosed(inputOf(worn, 0.01, { checks: [blank(0)] }));
    expect([dry.finding.cause, dry.finding.orElse]).not.toContain('leaking');
  }
});

describe('a gauge at the wand', () => {
  const wand = (psi: number): RigCheckFound => ({
    kind: 'wand-gauge',
    setting_Pa: 40 * PSI_PA,
    wand_Pa: psi * PSI_PA,
    standardUncertainty_Pa: 0.4 * PSI_PA,
  });
  const reference = {
    referenceNozzleConstant_m3_per_s_per_sqrtPa: TRUE_K,
    referenceRelativeStandardUncertainty: 0.01,
    referenceFrom: 'drawer-tip' as const,
  };
  const lost = madeSweep(design, { name: 'lost', lost: 0.15 }, new Random(8));

  it('clears a tip that only gets less pressure, and says how much flow is lost before it', () => {
    const without = diagnosed(inputOf(lost, 0.01, { reference }));
    expect(without.finding.cause).toBe('restricted');
    expect(without.pressureMayBeLost).toBe(true);
    expect(without.settledBy[0]).toBe('wand-gauge');
    const one = diagnosed(inputOf(lost, 0.01, { reference, checks: [wand(34)] }));
    expect(one.finding.cause).toBe('no fault shown');
    expect(one.pressureMayBeLost).toBe(false);
    expect(one.flowLostBeforeTip!.from).toBe('wand-gauge');
    expect(one.flowLostBeforeTip!.relative).toBeCloseTo(1 - Math.sqrt(0.85), 3);
  });

  it('shows a restricted tip for what it is when nothing is lost', () => {
    const blocked = madeSweep(design, { name: 'blocked', factor: [0.92, 0.92] }, new Random(9));
    const one = diagnosed(inputOf(blocked, 0.01, { reference, checks: [wand(40)] }));
    expect(one.said).toBe('restricted');
    expect(one.size!.value).toBeCloseTo(0.92, 1);
  });

  it('is no evidence against the rig’s own baseline, which lost as much on the way', () => {
    const input = inputOf(lost, 0.01);
    expect(diagnosed({ ...input, checks: [wand(34)] }).finding).toEqual(diagnosed(input).finding);
  });
});

describe('a baseline of this rig and pressure lost since', () => {
  const lost = madeSweep(design, { name: 'lost', lost: 0.15 }, new Random(8));
  const wand = (part: number): readonly RigCheckFound[] =>
    [20, 40, 60].map((psi) => ({
      kind: 'wand-gauge',
      setting_Pa: psi * PSI_PA,
      wand_Pa: part * psi * PSI_PA,
      standardUncertainty_Pa: 0.7 * PSI_PA,
    }));
  const of = (more: Parameters<typeof inputOf>[2], facts: object = {}) => {
    const { reference } = inputOf(lost, 0.01);
    return diagnosed(inputOf(lost, 0.01, { ...more, reference: { ...reference, ...facts } }));
  };

  it('with the rig as it was the tip is restricted, and no gauge at the wand is asked for', () => {
    const one = of({});
    expect(one).toMatchObject({ said: 'restricted', pressureMayBeLost: false });
    expect(one.settledBy).not.toContain('wand-gauge');
  });

  it('a gauge at the wand that reads 15 % less than the dial is told, and the tip is not blamed alone', () => {
    const one = of({ checks: wand(0.85), earlierFinding: 'restricted' });
    expect(one).toMatchObject({ said: 'restricted', pressureMayBeLost: true });
    expect(one.flowLostBeforeTip).toMatchObject({ from: 'wand-gauge' });
    expect(one.flowLostBeforeTip!.relative).toBeCloseTo(1 - Math.sqrt(0.85), 6);
  });

  it('one that reads what the dial says leaves the tip alone, also where the hose is another', () => {
    const one = of({ checks: wand(0.995) }, { referenceRigChanged: true });
    expect(one.pressureMayBeLost).toBe(false);
  });

  it('a loss that the gauge found with the baseline too was in it: it excuses nothing', () => {
    const then = { referenceWandRatio: 0.85, referenceWandRatioStandardUncertainty: 0.01 };
    expect(of({ checks: wand(0.85) }, then).pressureMayBeLost).toBe(false);
    const more = of({ checks: wand(0.72) }, then);
    expect(more.pressureMayBeLost).toBe(true);
    expect(more.flowLostBeforeTip!.relative).toBeCloseTo(1 - Math.sqrt(0.72 / 0.85), 6);
  });

  it('another hose since the baseline: it may be lost, and a gauge at the wand would tell', () => {
    const one = of({}, { referenceRigChanged: true });
    expect(one.pressureMayBeLost).toBe(true);
    expect(one.settledBy[0]).toBe('wand-gauge');
    expect(one.warnings).toContain('rig-changed-since-baseline');
  });
});
