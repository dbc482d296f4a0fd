import { describe, expect, it } from 'vitest';
import { checkScale, type ScaleCheckInput } from '../../../src/analysis/checks/scale-check.ts';
import { scaleDrift } from '../../../src/analysis/checks/scale-drift.ts';
import { slowChange } from '../../../src/analysis/checks/slow-change.ts';
import { explainingTilt_deg, tiltLoss } from '../../../src/analysis/checks/tilt.ts';
import { displayOf } from '../../../src/simulation/scale-habits.ts';
import { Random } from '../../../src/simulation/random.ts';
import { levelOf, type Idle } from './levels.ts';

interface Script {
  readonly gain: number;
  readonly masses_kg: readonly number[];
  readonly referenceU?: number;
  readonly seed?: number;
  readonly idle?: Partial<Idle>;
  /** kg added at a load of so many kg: a scale that bends. */
  readonly bend?: (kg: number) => number;
  readonly zeroMoves_kg?: number;
}

function checkOf(script: Script) {
  const { seed = 1, referenceU = 0, bend = () => 0 } = script;
  const at = (level_kg: number, i: number) => levelOf({ level_kg, seed: 100 * seed + i, ...script.idle }, 5);
  const pail_kg = 0.6123;
  const input: ScaleCheckInput = {
    from: 'mass-pieces',
    zeros: [at(pail_kg, 0), at(pail_kg + (script.zeroMoves_kg ?? 0), 9)],
    loads: script.masses_kg.map((mass_kg, i) => ({
      reference: { mass_kg, standardUncertainty_kg: referenceU * mass_kg },
      level: at(pail_kg + script.gain * mass_kg + bend(mass_kg), i + 1),
    })),
    step_kg: script.idle?.step_kg ?? 1e-3,
  };
  const found = checkScale(input);
  if (!found.ok) throw new Error(found.because);
  return found.value;
}

describe('a scale check', () => {
  it('finds a gain error in 95 of 100 checks or more within its ± (200 seeded scales, 1 to 3 loads)', () => {
    let held = 0;
    for (let seed = 1; seed <= 200; seed++) {
      const gain = 1 + 0.01 * Math.sin(seed);
      const masses_kg = [2, 5, 10].slice(0, 1 + (seed % 3));
      const check = checkOf({ gain, masses_kg, seed, referenceU: 0 });
      if (Math.abs(check.factor * gain - 1) <= check.relativeExpandedUncertainty95) held++;
    }
    expect(held).toBeGreaterThanOrEqual(190);
  });

  it('agrees within a step, is off beyond it, and says neither where the weight is too poorly known', () => {
    expect(checkOf({ gain: 1.0001, masses_kg: [5] }).verdict).toBe('agrees');
    const off = checkOf({ gain: 0.996, masses_kg: [5] });
    expect(off.verdict).toBe('off');
    expect(off.error_kg).toBeCloseTo(-0.02, 2);
    expect(off.warnings).toEqual(['scale-off', 'scale-perhaps-tilted']);
    const poor = checkOf({ gain: 0.996, masses_kg: [5], referenceU: 0.005 });
    expect(poor.verdict).toBe('cannot-tell');
    expect(poor.warnings).toContain('check-reference-poor');
    expect(poor.relativeStandardUncertainty).toBeGreaterThan(0.005);
    expect(poor.ownRelativeStandardUncertainty).toBeLessThan(2e-4);
  });

  it('carries the doubt of both levels, zero and load (arithmetic)', () => {
    const still = { noise_kg: 0 };
    const { ownRelativeStandardUncertainty, loads } = checkOf({ gain: 1, masses_kg: [5], idle: still });
    const step = 1e-3 / Math.sqrt(12);
    expect(ownRelativeStandardUncertainty).toBeCloseTo((Math.SQRT2 * step) / loads[0]!.shown_kg, 9);
  });

  it('names tilt only where a scale reads low by what a crooked stand loses', () => {
    expect(checkOf({ gain: 1.004, masses_kg: [5] }).explainingTilt_deg).toBeNull();
    expect(checkOf({ gain: 0.98, masses_kg: [5] }).explainingTilt_deg).toBeNull();
    expect(checkOf({ gain: 1 - tiltLoss(5), masses_kg: [10] }).explainingTilt_deg).toBeCloseTo(5, 0);
  });

  it('sees a scale that bends, over three loads, and keeps its factor with more doubt', () => {
    const straight = checkOf({ gain: 1, masses_kg: [2, 6, 12] });
    expect(straight.straightness?.curved).toBe(false);
    const bent = checkOf({
      gain: 1,
      masses_kg: [2, 6, 12],
      bend: (kg) => 0.02 * Math.sin((kg / 12) * Math.PI),
    });
    expect(bent.straightness?.curved).toBe(true);
    expect(bent.warnings).toContain('scale-not-linear');
    expect(bent.relativeStandardUncertainty).toBeGreaterThan(3 * straight.relativeStandardUncertainty);
  });

  it('calls a straight scale curved in fewer than 3 of 100 checks (300 seeds)', () => {
    let curved = 0;
    for (let seed = 1; seed <= 300; seed++) {
      if (checkOf({ gain: 1.002, masses_kg: [2, 6, 12], seed, idle: { step_kg: 1e-4 } }).straightness!.curved)
        curved++;
    }
    expect(curved).toBeLessThan(9);
  });

  it('warns of a zero that does not come back and of steps of 5 g', () => {
    const check = checkOf({ gain: 1, masses_kg: [5], zeroMoves_kg: 0.02 });
    expect(check.warnings).toContain('zero-did-not-return');
    expect(check.zeroReturn_kg).toBeCloseTo(0.02, 2);
    expect(checkOf({ gain: 1, masses_kg: [5], idle: { step_kg: 5e-3 } }).warnings).toContain('coarse-steps');
    expect(checkOf({ gain: 1, masses_kg: [5] }).warnings).toEqual([]);
  });

  it('doubts a display without steps that never flickers', () => {
    const held = checkOf({ gain: 1, masses_kg: [5], idle: { step_kg: 0, noise_kg: 0 } });
    expect(held.warnings).toContain('display-froze');
    expect(checkOf({ gain: 1, masses_kg: [5], idle: { step_kg: 0 } }).warnings).not.toContain(
      'display-froze',
    );
  });

  it('refuses a number in the wrong unit: 5 lb typed where 5 kg stand', () => {
    const level = levelOf({ level_kg: 5.6 });
    const zero = levelOf({ level_kg: 0.6, seed: 2 });
    const found = checkScale({
      from: 'mass-pieces',
      zeros: [zero],
      loads: [{ reference: { mass_kg: 2.268, standardUncertainty_kg: 0 }, level }],
      step_kg: 1e-3,
    });
    expect(found).toMatchObject({ ok: false, because: 'check-scale-absurd' });
  });
});

describe('a check after the sweep', () => {
  it('tells drift only beyond what both checks are worth: the reference cancels', () => {
    const found = (factor: number, from: 'mass-pieces' | 'water-volume' = 'mass-pieces') => ({
      factor,
      from,
      relativeStandardUncertainty: 1e-3,
      ownRelativeStandardUncertainty: 1e-4,
    });
    const before = found(1.004);
    expect(scaleDrift(before, found(1.0042)).moved).toBe(false);
    const moved = scaleDrift(before, found(1.006));
    expect(moved.moved).toBe(true);
    expect(moved.relative).toBeCloseTo(1.006 / 1.004 - 1, 12);
    // A jug before and a weight after: the air that lifts the water (1.00105, arithmetic) is no drift, and the references don't cancel.
    const other = scaleDrift(found(1.004 * 1.0010534, 'water-volume'), found(1.004));
    expect(Math.abs(other.relative)).toBeLessThan(2e-6);
    expect(other.standardUncertainty).toBeCloseTo(Math.hypot(1e-3, 1e-3), 12);
    expect(scaleDrift(found(1.006, 'water-volume'), found(1.004)).moved).toBe(false);
  });
});

describe('tilt', () => {
  it('is 1 − cos: 3° is 0.14 %, 5° is 0.38 % (arithmetic)', () => {
    expect(100 * tiltLoss(3)).toBeCloseTo(0.14, 2);
    expect(100 * tiltLoss(5)).toBeCloseTo(0.38, 2);
    expect(tiltLoss(3)).toBeCloseTo(1 - Math.cos((3 * Math.PI) / 180), 15);
    expect(explainingTilt_deg(tiltLoss(4.2))).toBeCloseTo(4.2, 9);
  });
});

describe('a slow trickle', () => {
  function shownAfter(habit: 'tracks-zero' | undefined, kg_per_s: number): number {
    const display = displayOf(habit, 1e-3, new Random(1));
    let shown = 0;
    for (let i = 0; i <= 600; i++) shown = display(i / 10, 1 + (kg_per_s * i) / 10);
    return shown;
  }

  it('is swallowed by a display that tracks its zero, and shown by one that does not', () => {
    const trickled_kg = 0.02;
    const rate = trickled_kg / 60;
    const before = levelOf({ level_kg: 1, noise_kg: 0 });
    const swallowed = levelOf({ level_kg: shownAfter('tracks-zero', rate), noise_kg: 0 });
    const shown = levelOf({ level_kg: shownAfter(undefined, rate), noise_kg: 0 });
    expect(slowChange(before, swallowed, trickled_kg)).toMatchObject({ swallowed: true });
    expect(slowChange(before, shown, trickled_kg)).toMatchObject({ swallowed: false });
  });
});
