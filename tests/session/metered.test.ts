import { describe, expect, it } from 'vitest';
import { HeardWater } from '../../src/session/heard-water.ts';
import { checkSetup } from '../../src/session/plan.ts';
import type { Reading } from '../../src/signal/reading.ts';
import { aSetup, psi } from '../builders/setup.ts';

const board = { instrument: 'bench-board', pulsesPerLitre: 500, unknown: {} } as const;

function reading(time_s: number, pulses: number, edge_s: number | null): Reading {
  return {
    time_s,
    arrival_s: time_s,
    device_s: time_s,
    mass_kg: null,
    state: 'no-load-cell',
    stable: null,
    net: null,
    step_kg: null,
    pulses,
    edge_s,
    supplyFraction: null,
  };
}

describe('water heard by a meter alone', () => {
  it('is what has passed it, carried on from the newest edge (arithmetic: 10 pulses a second of 2 g)', () => {
    const water = new HeardWater(board);
    expect(water.isMetered).toBe(true);
    expect(water.step_kg).toBeCloseTo(0.002, 12);
    water.of(reading(1, 10, 1));
    water.of(reading(2, 20, 2));
    // 0.05 s after the newest edge at 10 a second: half a pulse more.
    expect(water.of(reading(2.05, 20, 2))).toBeCloseTo(20.5 * 0.002, 12);
    // Never more than one pulse beyond it: a meter that stopped does not run on.
    expect(water.of(reading(9, 20, 2))).toBeCloseTo(21 * 0.002, 12);
  });

  it('has the offset of a checked meter in its flow and not in its ± (f = aQ − b)', () => {
    const water = new HeardWater({ ...board, meterOffset_Hz: 0.5 });
    expect(water.flow_m3_per_s(0.02)).toBeCloseTo((10 + 0.5) / 500e3, 15);
    expect(water.halfWidth_m3_per_s(0.002)).toBeCloseTo(1 / 500e3, 15);
  });

  it('is the scale where there is one, with its correction', () => {
    const water = new HeardWater({
      instrument: 'bench-board',
      gramsPerCount: 0.002,
      pulsesPerLitre: 500,
      scaleFactor: 1.01,
      unknown: {},
    });
    expect(water.isMetered).toBe(false);
    expect(water.of({ ...reading(1, 10, 1), mass_kg: 3.5 })).toBe(3.5);
    expect(water.flow_m3_per_s(0.998)).toBeCloseTo(1.01e-3, 12);
  });
});

describe('one pour', () => {
  it.each(['pumped-up', 'hose-reel'] as const)('is refused with a rig that is %s', (kind) => {
    const setup = aSetup({ protocol: 'one-pour', settings_Pa: psi(20, 40) });
    expect(checkSetup(setup)).toMatchObject({ ok: true });
    expect(checkSetup({ ...setup, rig: { ...setup.rig, kind } })).toMatchObject({
      because: 'one-pour-needs-held-pressure',
    });
    expect(checkSetup({ ...setup, rig: { ...setup.rig, standsOnScale: 'sprayer' } })).toMatchObject({
      because: 'one-pour-needs-held-pressure',
    });
  });
});
