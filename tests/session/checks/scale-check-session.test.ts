import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { ScaleReference } from '../../../src/analysis/checks/scale-reference.ts';
import { LITRE_M3, POUND_KG } from '../../../src/base/units/constants.ts';
import type { ScaleCheckPlan } from '../../../src/session/checks/scale-check-plan.ts';
import { ScaleCheckSession } from '../../../src/session/checks/scale-check-session.ts';
import type { Reading } from '../../../src/signal/reading.ts';
import { guidedCheck } from './guided-check.ts';

const pieces = (mass_kg: number): ScaleReference => ({
  kind: 'mass-pieces',
  mass_kg,
  standardUncertainty_kg: 1e-4 * mass_kg,
});

function aCheck(references: readonly ScaleReference[], with_: Partial<ScaleCheckPlan> = {}) {
  return new ScaleCheckSession({ references, limit_kg: 30, averagedReadings: 4, before: null, ...with_ });
}

function played(references: readonly ScaleReference[], bench = {}, with_: Partial<ScaleCheckPlan> = {}) {
  const session = aCheck(references, with_);
  const check = guidedCheck(() => session, bench);
  check.run(400);
  return { session, check };
}

describe('a hands-free scale check', () => {
  it('finds the gain error of a simulated scale with three loads and no touch, in the order of the loads', () => {
    const { session, check } = played([pieces(10), pieces(2), pieces(5)], { scaleGain: 0.9962 });
    expect(session.failed).toBeNull();
    expect(check.said.map((prompt) => prompt.kind)).toEqual([
      'clear-scale',
      'wait',
      'put-on',
      'wait',
      'put-on',
      'wait',
      'put-on',
      'wait',
      'take-off',
      'wait',
      'check-done',
    ]);
    const result = session.result!;
    expect(result.loads.map((load) => load.reference_kg)).toEqual([2, 5, 10]);
    expect(Math.abs(result.factor * 0.9962 - 1)).toBeLessThan(result.relativeExpandedUncertainty95);
    expect(result.relativeExpandedUncertainty95).toBeLessThan(5e-4);
    expect(result.verdict).toBe('off');
    expect(result.warnings).toEqual(['scale-off', 'scale-perhaps-tilted']);
  });

  it('holds the true factor in its ± in 36 of 40 seeded benches or more, of every roughness', () => {
    let held = 0;
    for (let seed = 1; seed <= 40; seed++) {
      const scenario = (['clean', 'typical', 'typical80', 'rough'] as const)[seed % 4]!;
      const scaleGain = 1 + 0.004 * Math.sin(seed * 7);
      const instrument = seed % 3 === 0 ? 'bench-board' : 'scale';
      const { session } = played(
        [pieces(5)],
        { scenario, seed, scaleGain, instrument },
        { averagedReadings: null },
      );
      const { result } = session;
      if (result === null) continue;
      if (Math.abs(result.factor * scaleGain - 1) <= result.relativeExpandedUncertainty95) held++;
    }
    expect(held).toBeGreaterThanOrEqual(36);
  });

  it('takes a good scale for good', () => {
    const { session } = played([pieces(5)]);
    expect(session.result).toMatchObject({ verdict: 'agrees', warnings: [] });
  });

  it('makes a factor with a known volume of water, and asks for nothing to be taken off again', () => {
    const water: ScaleReference = {
      kind: 'water-volume',
      volume_m3: 5 * LITRE_M3,
      standardUncertainty_m3: 0.002 * LITRE_M3,
      temperature_degC: 18,
    };
    const { session, check } = played([water], { scaleGain: 1.003 });
    expect(session.result?.from).toBe('water-volume');
    expect(check.said.map((prompt) => prompt.kind)).not.toContain('take-off');
    expect(check.said.at(-1)).toEqual({ kind: 'check-done', leaves: 'jug' });
    // A factor from water holds the air's lift: 1.00105 (arithmetic; `buoyancyFactor`).
    expect(Math.abs(session.result!.factor * 1.003 - 1.00105)).toBeLessThan(2e-4);
  });

  it('begins anew when what stood there was not empty after all', () => {
    const session = aCheck([pieces(5)]);
    const check = guidedCheck(() => session);
    check.bench.putKnownMass(3);
    check.hears = () => null;
    check.run(60, () => check.said.some((prompt) => prompt.kind === 'put-on'));
    check.bench.putKnownMass(0);
    check.run(10);
    expect(check.said.at(-2)?.kind === 'clear-scale' || check.said.at(-1)?.kind === 'clear-scale').toBe(true);
    check.hears = (prompt) => prompt;
    check.run(200);
    expect(session.result?.verdict).toBe('agrees');
  });

  it('does not take half of the load, or the load before, for the load', () => {
    const session = aCheck([pieces(4), pieces(5)]);
    const check = guidedCheck(() => session);
    check.hears = (prompt) =>
      prompt.kind === 'put-on' && prompt.nth === 2
        ? null
        : prompt.kind === 'put-on'
          ? { ...prompt, amount: { kind: 'mass', mass_kg: 4 } }
          : prompt;
    check.run(120);
    expect(session.isOver).toBe(false);
    expect(session.prompt).toMatchObject({ kind: 'put-on', nth: 2 });
  });

  it('says that wind or a touch keeps it from coming to rest', () => {
    const session = aCheck([pieces(0.2)], { averagedReadings: 4 });
    const check = guidedCheck(() => session, { scenario: 'windy', seed: 8 });
    let told = false;
    check.run(170, () => (told ||= session.view().trouble === 'wind-or-touch'));
    expect(told).toBe(true);
  });

  it('compares with an earlier check: the drift and its ±', () => {
    const before = {
      factor: 1.002,
      from: 'mass-pieces',
      relativeStandardUncertainty: 1e-4,
      ownRelativeStandardUncertainty: 5e-5,
    } as const;
    const { session } = played([pieces(10)], { scaleGain: 0.994 }, { before });
    const { result } = session.view();
    expect(result?.kind === 'scale' && result.drift?.moved).toBe(true);
    expect(result?.kind === 'scale' && result.drift?.relative).toBeCloseTo(1 / 0.994 / 1.002 - 1, 3);
  });
});

describe('a slow trickle at the end of a check', () => {
  it('is shown by a good scale', () => {
    const good = played([pieces(2)], { seed: 6 }, { trickle_kg: 0.03 });
    expect(good.check.said.map(({ kind }) => kind).slice(-3)).toEqual(['trickle', 'wait', 'check-done']);
    expect(good.session.result?.warnings).toEqual([]);
    // What was poured in stands in the pail still, and the check can tell how much of it was shown.
    expect(good.check.said.at(-1)).toEqual({ kind: 'check-done', leaves: 'water-in-pail' });
    const { result } = good.session.view();
    if (result?.kind !== 'scale') throw new Error('no result');
    expect(result.trickle).toMatchObject({ trickled_kg: 0.03, swallowed: false });
    expect(Math.abs(result.trickle!.shown_kg - 0.03)).toBeLessThan(0.002);
    expect(played([pieces(2)]).session.view().result).not.toHaveProperty('trickle');
  });

  it.each([
    [22.7, 18.1, true],
    [1.9, 18.1, true],
    [1.8, 18.1, false],
    [2.1, null, true],
    [1.9, null, false],
  ])(
    'of %d kg on a scale that bears %d kg is refused before anything is lifted: %s',
    (trickle_kg, limit_kg, isRefused) => {
      const { failed } = aCheck([pieces(5)], { trickle_kg, limit_kg });
      expect(failed?.because).toBe(isRefused ? 'check-trickle-too-big' : undefined);
    },
  );

  it.each([
    [0, true],
    [0.01, true],
    [0.03, false],
  ])('of 30 g of which %d kg are shown: swallowed %s', (shown_kg, swallowed) => {
    const session = aCheck([pieces(2)], { trickle_kg: 0.03 });
    const levels = [0.5, 2.5, 0.5, 0.5 + shown_kg] as const;
    for (let i = 0, at = 0; !session.isOver && i < 3000; i++) {
      const { kind } = session.prompt;
      at = kind === 'put-on' ? 1 : kind === 'take-off' ? 2 : kind === 'trickle' ? 3 : at;
      session.accept({ kind: 'reading', reading: { ...bare(i / 10), mass_kg: levels[at]! } });
    }
    expect(session.failed).toBeNull();
    expect(session.result?.warnings.includes('scale-swallows-slow-change')).toBe(swallowed);
  });

  it('has to be enough for the display to show', () => {
    const { session } = played([pieces(2)], {}, { trickle_kg: 0.001 });
    expect(session.failed).toMatchObject({ because: 'check-mass-too-small' });
  });
});

describe('whatever a scale sends', () => {
  it('nothing throws, nothing follows a result or a failure, and no factor is out of reason (fast-check, seed 20261126)', () => {
    const level = fc.record({
      mass_kg: fc.option(fc.double({ min: -50, max: 50, noNaN: true })),
      for_s: fc.nat(30),
    });
    fc.assert(
      fc.property(
        fc.array(level, { maxLength: 12 }),
        fc.constantFrom(1e-3, 5e-3, null),
        (levels, step_kg) => {
          const session = aCheck([pieces(2), pieces(5)]);
          let t = 0;
          let overSince: number | null = null;
          for (const { mass_kg, for_s } of levels) {
            for (let i = 0; i < for_s * 10; i++, t++) {
              const shown =
                mass_kg === null || step_kg === null ? mass_kg : Math.round(mass_kg / step_kg) * step_kg;
              const said = session.accept({
                kind: 'reading',
                reading: { ...bare(t / 10), mass_kg: shown, step_kg },
              });
              if (overSince !== null) expect(said).toEqual([]);
              if (session.isOver) overSince ??= t;
            }
          }
          const { result } = session;
          if (result !== null) {
            expect(result.factor).toBeGreaterThan(0.5);
            expect(result.factor).toBeLessThan(2);
            expect(result.relativeStandardUncertainty).toBeGreaterThan(0);
          }
        },
      ),
      { seed: 20261126, numRuns: 60 },
    );
  });
});

function bare(time_s: number): Reading {
  return {
    time_s,
    arrival_s: time_s,
    device_s: null,
    mass_kg: null,
    state: 'ok',
    stable: null,
    net: null,
    step_kg: 1e-3,
    pulses: null,
    edge_s: null,
    supplyFraction: null,
  };
}

describe('a check that can not be', () => {
  it.each([
    ['check-mass-too-big', pieces(500 * POUND_KG)],
    ['check-mass-not-positive', pieces(0)],
    ['check-mass-not-positive', pieces(-2)],
  ] as const)('is refused before anything is lifted: %s', (because, reference) => {
    const session = aCheck([reference]);
    expect(session.failed).toMatchObject({ because });
    expect(session.prompt).toEqual({ kind: 'check-failed', because });
  });

  it('is refused when the scale turns out too coarse for what was typed: 50 g on a scale of one-gram steps', () => {
    const { session } = played([pieces(0.06)]);
    expect(session.failed).toMatchObject({ because: 'check-mass-too-small' });
  });

  it('is dropped by another unit, a tare or a gap in the middle, and not before its first level', () => {
    const gap = { kind: 'gap', at_s: 1, because: 'device-lost', linesLost: null } as const;
    const early = aCheck([pieces(5)]);
    early.accept(gap);
    expect(early.isOver).toBe(false);
    for (const event of [gap, { kind: 'unit-changed', at_s: 1, unit: 'lb' } as const]) {
      const session = aCheck([pieces(5)]);
      const check = guidedCheck(() => session);
      check.run(100, () => session.prompt.kind === 'put-on');
      session.accept(event);
      expect(session.failed).toMatchObject({ because: 'check-disturbed' });
    }
    const tared = aCheck([pieces(5)]);
    const reading = (net: boolean, mass_kg: number, i: number): Reading => ({
      time_s: i / 10,
      arrival_s: i / 10,
      device_s: null,
      mass_kg,
      state: 'ok',
      stable: null,
      net,
      step_kg: 1e-3,
      pulses: null,
      edge_s: null,
      supplyFraction: null,
    });
    for (let i = 0; i < 200; i++) tared.accept({ kind: 'reading', reading: reading(false, 0.5, i) });
    expect(tared.prompt.kind).toBe('put-on');
    tared.accept({ kind: 'reading', reading: reading(true, 0, 201) });
    expect(tared.failed).toMatchObject({ because: 'check-disturbed' });
  });
});
