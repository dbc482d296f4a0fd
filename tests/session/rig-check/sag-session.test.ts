import { describe, expect, it } from 'vitest';
import type { RigCheckFound } from '../../../src/analysis/diagnosis/evidence.ts';
import { isSagShown } from '../../../src/analysis/diagnosis/evidence.ts';
import { createRigCheck, type RigCheckPlan } from '../../../src/session/rig-check/rig-check-session.ts';
import type { RigFault } from '../../../src/simulation/rig.ts';
import type { Reading } from '../../../src/signal/reading.ts';
import { guidedRigCheck } from './guided-rig-check.ts';

const PSI = 6894.757293168;
const plan: RigCheckPlan = { kind: 'sag-test', setting_Pa: 40 * PSI, wand: 'hand-held' };
const fades: RigFault = { kind: 'battery-sag', share: 0.03, per: 'minute' };
const seeds = [11, 12, 13, 14, 15, 16, 17, 18, 19, 20];
const boardWithSensor = { instrument: 'bench-board', pressureFullScale_Pa: 150 * PSI } as const;

const atRest: Reading = {
  ...{ time_s: 0, arrival_s: 0, device_s: null, mass_kg: 1, state: 'ok', stable: true, net: null },
  ...{ step_kg: 0.001, pulses: null, edge_s: null, supplyFraction: null },
};

type Sag = Extract<RigCheckFound, { kind: 'sag-test' }>;

function tested(
  faults: readonly RigFault[],
  seed: number,
  options: Parameters<typeof guidedRigCheck>[2] = {},
) {
  const { machine, took_s, said, bench } = guidedRigCheck(plan, faults, { seed, limit_s: 500, ...options });
  const { found, failed } = machine.view();
  if (failed !== null) throw new Error(failed.because);
  const [sag] = found.filter((one): one is Sag => one.kind === 'sag-test');
  if (sag === undefined) throw new Error('nothing found');
  const [first, last] = [bench.truth[0]!, bench.truth.at(-1)!];
  return {
    sag,
    took_s,
    said: said.map(({ kind }) => kind),
    truth: 1 - last.flow_m3_per_s / first.flow_m3_per_s,
  };
}

describe('does the pressure fall while it sprays', () => {
  it('is heard by the scale, hands-free, with the dial left alone', () => {
    let z2 = 0;
    for (const seed of seeds) {
      const { sag, took_s, said, truth } = tested([fades], seed);
      expect(said).toEqual(['set-and-spray', 'spray-on', 'catch-again', 'rig-check-done']);
      expect(truth).toBeGreaterThan(0.02);
      expect(Math.abs(sag.flowLostRelative - truth)).toBeLessThan(3 * sag.relativeStandardUncertainty);
      expect(isSagShown(sag)).toBe(true);
      // The jet's drift is what limits a hand-held wand: about half a per cent.
      expect(2 * sag.relativeStandardUncertainty).toBeLessThan(0.012);
      expect(sag.setting_Pa).toBe(40 * PSI);
      expect(sag.sprayed_s).toBeGreaterThan(140);
      expect(took_s).toBeLessThan(240);
      z2 += ((sag.flowLostRelative - truth) / sag.relativeStandardUncertainty) ** 2 / seeds.length;
    }
    // Mean square of ten standard scores: over 2.1 once in a hundred and fifty if u is right (chi-square, 10 df).
    expect(z2).toBeLessThan(2.1);
  });

  it('shows none where none is, and says how small a sag would have been seen', () => {
    // Under the scenario's own sag of half a per cent a minute within a pour nothing is lost from one pour to the next.
    const shown = seeds.filter((seed) => isSagShown(tested([], seed).sag));
    expect(shown.length).toBeLessThanOrEqual(1);
  });

  it('goes by the pressure where a sensor reads it', () => {
    for (const seed of seeds.slice(0, 4)) {
      const { sag, truth } = tested([fades], seed, boardWithSensor);
      expect(Math.abs(sag.flowLostRelative - truth)).toBeLessThan(0.004);
      expect(isSagShown(sag)).toBe(true);
    }
  });

  it('is over sooner where the person has sprayed enough, and the time says so', () => {
    let pressed = false;
    const { sag } = tested([fades], 5, {
      meanwhile: (machine) => {
        const { asks, secondsLeft } = machine.view();
        if (pressed || asks !== 'sprayed-enough' || (secondsLeft ?? 999) > 60) return;
        pressed = machine.answer(null).ok;
      },
    });
    expect(pressed).toBe(true);
    expect(sag.sprayed_s).toBeLessThan(125);
  });

  it('is refused where nothing listens or the setting can not be meant', () => {
    expect(createRigCheck(plan, null)).toMatchObject({ ok: false, because: 'instrument-not-open' });
    expect(createRigCheck({ ...plan, setting_Pa: -1 }, null)).toMatchObject({
      because: 'setting-not-positive',
    });
    expect(createRigCheck({ ...plan, setting_Pa: 1e8 }, null)).toMatchObject({ because: 'setting-absurd' });
  });

  it('takes no number, and no button before there is water', () => {
    const { machine } = guidedRigCheck(plan, [], { limit_s: 2 });
    expect(machine.answer(3)).toMatchObject({ ok: false, because: 'no-answer-asked' });
    expect(machine.answer(null)).toMatchObject({ ok: false, because: 'no-answer-asked' });
  });

  it('says so where no water comes into the pail any more', () => {
    const { machine } = guidedRigCheck(plan, [], { limit_s: 2, seed: 4 });
    for (let t_s = 3; t_s < 140; t_s += 0.1)
      machine.accept({ kind: 'reading', reading: { ...atRest, time_s: t_s } });
    expect(machine.view()).toMatchObject({ failed: { because: 'flow-not-heard' }, isOver: true });
  });
});
