import { describe, expect, test } from 'vitest';
import { ordinaryLine } from '../../../src/base/statistics/ordinary-line.ts';
import { reconstructScaleClock } from '../../../src/signal/streams/scale-clock.ts';
import { arrivalsOf } from '../../builders/lateness.ts';
import { seeded } from '../../builders/seeded.ts';

interface Options {
  readonly rate_Hz: number;
  readonly duration_s: number;
  readonly seed: number;
  readonly drops?: number;
  readonly stalls?: number;
  /** Relative change of the scale's own clock over the whole. */
  readonly wander?: number;
}

function scale({ rate_Hz, duration_s, seed, drops = 0, stalls = 0.001, wander = 0 }: Options) {
  const random = seeded(seed);
  const made: number[] = [];
  const missingBefore: number[] = [];
  let missing = 0;
  const count = Math.round(rate_Hz * duration_s);
  for (let k = 0, time = 3; k < count; k += 1) {
    time += (1 + wander * Math.sin((2 * Math.PI * k) / count)) / rate_Hz;
    if (k > 0 && k < count - 1 && random() < drops) missing += 1;
    else {
      made.push(time);
      missingBefore.push(missing);
    }
  }
  const made_s = Float64Array.from(made);
  return { made_s, missing, missingBefore, arrival_s: arrivalsOf(made_s, random, stalls) };
}

function scatter(time_s: Float64Array, truth_s: Float64Array): number {
  const off = Array.from(time_s, (time, i) => time - truth_s[i]!);
  const mean = off.reduce((a, b) => a + b, 0) / off.length;
  return Math.sqrt(off.reduce((sum, value) => sum + (value - mean) ** 2, 0) / off.length);
}

/** Share of the times that are off by more than `limit_s` once their middle is right. */
function shareOff(time_s: Float64Array, truth_s: Float64Array, limit_s: number): number {
  const off = Array.from(time_s, (time, i) => time - truth_s[i]!);
  const middle = [...off].sort((a, b) => a - b)[off.length >> 1]!;
  return off.filter((value) => Math.abs(value - middle) > limit_s).length / off.length;
}

/** Relative error of a steady flow whose times are these. */
function slopeError(time_s: Float64Array, truth_s: Float64Array, from: number, to: number): number {
  const line = ordinaryLine(time_s.subarray(from, to), truth_s.subarray(from, to));
  return line!.slope - 1;
}

describe('the clock of a scale that sends no time', () => {
  test.each([
    [10, 240, 0.001],
    [10, 240, 0.01],
    [5, 300, 0.03],
    [9.713, 240, 0.01],
  ])(
    '%d Hz for %d s, %d of the readings lost: every loss is numbered, 99.5 % of the times within 2 ms',
    (rate_Hz, duration_s, drops) => {
      for (let seed = 0; seed < 20; seed += 1) {
        const { made_s, missing, arrival_s } = scale({ rate_Hz, duration_s, drops, stalls: 0.005, seed });
        const clock = reconstructScaleClock(arrival_s);
        expect([seed, clock.missing]).toEqual([seed, missing]);
        expect(shareOff(clock.time_s, made_s, 2e-3)).toBeLessThan(5e-3);
        expect(Math.abs(clock.period_s * rate_Hz - 1)).toBeLessThan(1e-4);
      }
    },
  );

  test('at 80 Hz stays within a few milliseconds of the truth, closer than arrival is (seeds 0-19)', () => {
    for (let seed = 0; seed < 20; seed += 1) {
      const { made_s, arrival_s } = scale({ rate_Hz: 80, duration_s: 120, drops: 0.001, seed });
      const clock = reconstructScaleClock(arrival_s);
      expect(scatter(clock.time_s, made_s)).toBeLessThan(scatter(arrival_s, made_s));
      expect(Math.abs(clock.period_s * 80 - 1)).toBeLessThan(2e-4);
    }
  });

  test('is that of the host: a scale 2 % slow is timed as it is, not as its maker says', () => {
    const { made_s, arrival_s } = scale({ rate_Hz: 9.8, duration_s: 60, seed: 2 });
    const { time_s, period_s } = reconstructScaleClock(arrival_s);
    expect(period_s * 9.8).toBeCloseTo(1, 3);
    expect(time_s[500]! - time_s[100]!).toBeCloseTo(made_s[500]! - made_s[100]!, 2);
  });

  test('follows a clock that wanders by 0.1 % over an hour, where one line would be a second off', () => {
    const { made_s, arrival_s } = scale({ rate_Hz: 10, duration_s: 3600, seed: 5, wander: 1e-3 });
    const clock = reconstructScaleClock(arrival_s);
    expect(clock.method).toBe('reconstructed');
    expect(scatter(clock.time_s, made_s)).toBeLessThan(scatter(arrival_s, made_s));
  });

  test('starts anew after a long silence, whose length need be no multiple of the period', () => {
    const first = scale({ rate_Hz: 10, duration_s: 60, seed: 8 });
    const second = scale({ rate_Hz: 10, duration_s: 60, seed: 9 });
    const shift = 97.043;
    const made_s = Float64Array.from([...first.made_s, ...second.made_s.map((time) => time + shift)]);
    const arrival_s = Float64Array.from([
      ...first.arrival_s,
      ...second.arrival_s.map((time) => time + shift),
    ]);
    const clock = reconstructScaleClock(arrival_s);
    expect(clock.gaps).toHaveLength(1);
    expect(clock.gaps[0]?.index).toBe(first.made_s.length);
    expect(scatter(clock.time_s, made_s)).toBeLessThan(1e-3);
  });

  test('is arrival itself where the scale keeps no time', () => {
    const random = seeded(11);
    let time = 0;
    const arrival_s = Float64Array.from({ length: 300 }, () => (time += 0.05 + 0.9 * random()));
    const clock = reconstructScaleClock(arrival_s);
    expect(clock.method).toBe('arrival');
    expect(clock.time_s).toEqual(arrival_s);
  });

  test.each([0, 1, 2, 19])('is arrival for %d readings: too few to tell a period', (n) => {
    const arrival_s = Float64Array.from({ length: n }, (_, i) => i / 10);
    expect(reconstructScaleClock(arrival_s)).toMatchObject({
      method: 'arrival',
      time_s: arrival_s,
      missing: 0,
    });
  });

  test('is arrival where all readings came at once', () => {
    expect(reconstructScaleClock(new Float64Array(100).fill(4)).method).toBe('arrival');
  });

  test('outlasts a page that slept for a second and a half without inventing losses', () => {
    const { made_s, arrival_s } = scale({ rate_Hz: 10, duration_s: 60, seed: 12 });
    const late = arrival_s.map((arrival) => (arrival > 20 && arrival < 21.5 ? 21.5 : arrival));
    const clock = reconstructScaleClock(late);
    expect(clock.missing).toBe(0);
    expect(scatter(clock.time_s, made_s)).toBeLessThan(5e-4);
  });

  test.each<[string, Omit<Options, 'seed'>]>([
    ['10 Hz, as a typical USB scale', { rate_Hz: 10, duration_s: 240, drops: 0.001 }],
    ['5 Hz, many losses and stalls', { rate_Hz: 5, duration_s: 240, drops: 0.03, stalls: 0.02 }],
    [
      '80 Hz, losses that can not be told from bundling',
      { rate_Hz: 80, duration_s: 240, drops: 0.01, stalls: 0.005 },
    ],
    [
      '10 Hz, a clock that wanders by 0.2 % in minutes',
      { rate_Hz: 10, duration_s: 240, drops: 0.01, wander: 2e-3 },
    ],
  ])('gives flows over 25 s no worse than arrival gives them: %s (seeds 0-9)', (_, options) => {
    let byArrival = 0;
    let rebuilt = 0;
    for (let seed = 0; seed < 10; seed += 1) {
      const { made_s, arrival_s } = scale({ ...options, seed });
      const { time_s } = reconstructScaleClock(arrival_s);
      const size = 25 * options.rate_Hz;
      for (let from = 0; from + size <= made_s.length; from += size) {
        byArrival += slopeError(arrival_s, made_s, from, from + size) ** 2;
        rebuilt += slopeError(time_s, made_s, from, from + size) ** 2;
      }
    }
    expect(rebuilt).toBeLessThanOrEqual(byArrival * 1.05);
    // Where the scale is an ordinary one it is far better, or the clock would not be worth having.
    if (options.rate_Hz <= 10 && options.wander === undefined) expect(rebuilt).toBeLessThan(byArrival / 100);
  });

  test('never runs backwards', () => {
    for (const wander of [0, 2e-3]) {
      const { arrival_s } = scale({
        rate_Hz: 80,
        duration_s: 300,
        drops: 0.01,
        stalls: 0.02,
        seed: 13,
        wander,
      });
      const { time_s } = reconstructScaleClock(arrival_s);
      expect(time_s.every((time, i) => i === 0 || time >= time_s[i - 1]!)).toBe(true);
    }
  });
});
