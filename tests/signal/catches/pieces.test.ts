import { describe, expect, it } from 'vitest';
import { createBlockAverager } from '../../../src/signal/catches/block-average.ts';
import { classifyPour, type PourFacts } from '../../../src/signal/catches/classify.ts';
import { dripAfter } from '../../../src/signal/catches/drip.ts';
import { idleWander } from '../../../src/signal/catches/idle-wander.ts';
import {
  quantisationAllowance_kg_per_s,
  quantisationResonance,
} from '../../../src/signal/catches/quantisation-resonance.ts';
import { splitAtStart, splitAtStop } from '../../../src/signal/catches/refine-edges.ts';
import { theilSenSlope } from '../../../src/signal/catches/slope.ts';
import { createStepFinder } from '../../../src/signal/catches/step-finder.ts';
import { seeded } from '../../builders/trace.ts';

const times = (count: number, period_s = 0.1): number[] =>
  Array.from({ length: count }, (_, i) => i * period_s);

describe('the causal slope', () => {
  it('is the slope of a line', () => {
    const t = times(12);
    expect(
      theilSenSlope(
        t,
        t.map((x) => 0.5 + 0.02 * x),
        0,
        12,
      ),
    ).toBeCloseTo(0.02, 12);
  });

  it('is not moved by two wrong readings of twelve', () => {
    const t = times(12);
    const m = t.map((x, i) => 0.02 * x + (i === 3 || i === 4 ? 0.3 : 0));
    expect(theilSenSlope(t, m, 0, 12)).toBeCloseTo(0.02, 3);
  });

  it('is not there for two points, or for points at one time', () => {
    expect(theilSenSlope([0, 1], [0, 1], 0, 2)).toBeNull();
    expect(theilSenSlope([1, 1, 1], [0, 1, 2], 0, 3)).toBeNull();
  });

  it('uses only the stretch it is asked for, and thins a long one', () => {
    const t = times(400);
    const m = t.map((x) => (x < 20 ? 5 : 0.03 * x));
    expect(theilSenSlope(t, m, 200, 400)).toBeCloseTo(0.03, 12);
  });
});

describe('blocks', () => {
  const feed = (rate_Hz: number, seconds: number): { time_s: number; mass_kg: number }[] => {
    const averager = createBlockAverager();
    return times(rate_Hz * seconds, 1 / rate_Hz).flatMap((t) => averager.push(t, 0.02 * t) ?? []);
  };

  it('pass readings of up to 12 a second unchanged', () => {
    expect(feed(10, 5)).toHaveLength(50);
    expect(feed(12, 5)).toHaveLength(60);
  });

  it.each([20, 40, 80])(
    'come about ten times a second from %i readings, on the line of the readings',
    (rate_Hz) => {
      const blocks = feed(rate_Hz, 10);
      expect(blocks.length).toBeGreaterThan(90);
      expect(blocks.length).toBeLessThan(110);
      for (const { time_s, mass_kg } of blocks) expect(mass_kg).toBeCloseTo(0.02 * time_s, 10);
    },
  );
});

describe('the step of a display', () => {
  const step = (masses: number[]): number => {
    const finder = createStepFinder();
    for (const mass_kg of masses) finder.push(mass_kg);
    return finder.step_kg;
  };

  it.each([0.0001, 0.001, 0.002, 0.005])('of %f kg is found from its readings', (grid_kg) => {
    const random = seeded(3);
    const masses = times(100).map((t) => Math.round((0.5 + 0.02 * t + 0.001 * random()) / grid_kg) * grid_kg);
    expect(step(masses)).toBeCloseTo(grid_kg, 7);
  });

  it('is zero for readings without a grid', () => {
    const random = seeded(4);
    expect(step(times(200).map(() => 0.5 + 0.001 * random()))).toBeLessThan(5e-5);
  });
});

describe('an edge', () => {
  it('at the start is the best split into a level and a line, in spite of the jet', () => {
    const t = times(40);
    const m = t.map((x) => (x < 1.95 ? 0.5 : 0.51 + 0.02 * (x - 1.95)));
    expect(splitAtStart(t, m, 0, 40)?.edge_s).toBeCloseTo(1.95, 6);
  });

  it('at the stop is the mirror of it', () => {
    const t = times(40);
    const m = t.map((x) => (x < 1.95 ? 0.51 + 0.02 * x : 0.54));
    expect(splitAtStop(t, m, 0, 40)?.edge_s).toBeCloseTo(1.95, 6);
  });

  it('is not there in fewer than six readings', () => {
    expect(splitAtStart(times(5), times(5), 0, 5)).toBeNull();
  });
});

describe('a drip', () => {
  const quiet = (seconds: number, slope_kg_per_s: number): { time_s: number; mass_kg: number | null }[] =>
    times(seconds * 10 + 1).map((t) => ({ time_s: 20 + t, mass_kg: 0.9 + slope_kg_per_s * t }));

  it('is the slope of the quiet time, from 2.5 s after the stop', () => {
    expect(dripAfter(quiet(12, 2e-5), 20, 32)).toBeCloseTo(2e-5, 9);
  });

  it('does not see the run-out of the first 2.5 s', () => {
    const samples = quiet(12, 0).map((sample, i) => (i < 25 ? { ...sample, mass_kg: 0.5 } : sample));
    expect(dripAfter(samples, 20, 32)).toBeCloseTo(0, 9);
  });

  it('is unknown with less than four quiet seconds', () => {
    expect(dripAfter(quiet(6, 2e-5), 20, 26)).toBeNull();
    expect(dripAfter(quiet(12, 2e-5), 20, 26)).toBeNull();
  });

  it('is never negative', () => {
    expect(dripAfter(quiet(12, -2e-5), 20, 32)).toBe(0);
  });
});

describe('resonance between the display and the flow', () => {
  it('is there within 2 % of a whole number of steps a reading, on a quiet display', () => {
    expect(quantisationResonance(0.01015, 0.1, 0.001, 0)).toBe(true);
    expect(quantisationResonance(0.0099, 0.1, 0.001, 0.0003)).toBe(true);
    expect(quantisationResonance(0.025, 0.2, 0.005, 0)).toBe(true);
  });

  it('is not there off the whole number, with noise, without a step, or below one step a reading', () => {
    expect(quantisationResonance(0.0103, 0.1, 0.001, 0)).toBe(false);
    expect(quantisationResonance(0.0101, 0.1, 0.001, 0.0004)).toBe(false);
    expect(quantisationResonance(0.0101, 0.1, 0, 0)).toBe(false);
    expect(quantisationResonance(0.0001, 0.1, 0.001, 0)).toBe(false);
  });

  it('costs step/T/√3 (arithmetic: 5 g, 30 s)', () => {
    expect(quantisationAllowance_kg_per_s(0.005, 30)).toBeCloseTo(9.623e-5, 8);
  });
});

describe('ten idle seconds', () => {
  const idle = (push_kg: (t: number) => number): { time_s: number; mass_kg: number | null }[] =>
    times(120).map((t) => ({ time_s: t, mass_kg: 0.5 + push_kg(t) }));

  it('are sound when the 2 s means stay within target × expected mass / 5', () => {
    const seen = idleWander(
      idle((t) => 0.002 * Math.sin(2 * Math.PI * 3 * t)),
      11.9,
      0.005,
      0.6,
    );
    expect(seen?.doubtful).toBe(false);
  });

  it('are doubtful when the level wanders', () => {
    const seen = idleWander(
      idle((t) => (t > 6 ? 0.001 : 0)),
      11.9,
      0.005,
      0.6,
    );
    expect(seen?.wander_kg).toBeCloseTo(0.001, 6);
    expect(seen?.doubtful).toBe(true);
  });

  it('say nothing before they are over', () => {
    expect(idleWander(idle(() => 0).slice(60), 11.9, 0.005, 0.6)).toBeNull();
  });
});

describe('water or not', () => {
  const water: PourFacts = {
    lasted_s: 20,
    flow_kg_per_s: 0.02,
    crooked_kg: 0.001,
    rise_kg: 0.4,
    endsOnSeenLevel: false,
    frozenFor_s: 0,
  };

  it.each<[Partial<PourFacts>, ReturnType<typeof classifyPour>]>([
    [{}, { water: true, voidBecause: null }],
    [
      { lasted_s: 4, rise_kg: 0.08 },
      { water: true, voidBecause: 'too-short' },
    ],
    [{ frozenFor_s: 6 }, { water: true, voidBecause: 'display-frozen' }],
    [{ rise_kg: 0.02 }, { water: false, because: 'pail-pushed' }],
    [{ rise_kg: 0.2 }, { water: false, because: 'settled-too-low' }],
    [
      { lasted_s: 4, rise_kg: 0.04 },
      { water: false, because: 'too-short-and-fell-back' },
    ],
    [
      { lasted_s: 1.5, rise_kg: 0.04 },
      { water: false, because: 'pail-pushed' },
    ],
    [
      { lasted_s: 6, rise_kg: 0.12, endsOnSeenLevel: true },
      { water: false, because: 'pail-pushed' },
    ],
    [
      { flow_kg_per_s: 0.0015, rise_kg: 0.03 },
      { water: false, because: 'too-slow' },
    ],
    [{ crooked_kg: 0.05 }, { water: false, because: 'not-straight' }],
  ])('is told from %o', (facts, verdict) => {
    expect(classifyPour({ ...water, ...facts })).toEqual(verdict);
  });
});
