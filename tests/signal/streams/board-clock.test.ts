import { describe, expect, test } from 'vitest';
import { mapBoardClock } from '../../../src/signal/streams/board-clock.ts';
import { arrivalsOf } from '../../builders/lateness.ts';
import { seeded } from '../../builders/seeded.ts';

/** A board sampling at `rate_Hz` of true time, its clock counting `fast` seconds a second. */
function board(options: {
  duration_s: number;
  rate_Hz: number;
  fast: number;
  seed: number;
  stalls?: number;
}) {
  const made_s = Float64Array.from(
    { length: Math.round(options.duration_s * options.rate_Hz) + 1 },
    (_, i) => 5 + i / options.rate_Hz,
  );
  const device_s = made_s.map((time) => (time - 5) * options.fast);
  return { made_s, device_s, arrival_s: arrivalsOf(made_s, seeded(options.seed), options.stalls ?? 0.01) };
}

/** Standard deviation of (time - truth): a constant offset is no error of any flow. */
function scatter(time_s: Float64Array, truth_s: Float64Array): number {
  const off = Array.from(time_s, (time, i) => time - truth_s[i]!);
  const mean = off.reduce((a, b) => a + b, 0) / off.length;
  return Math.sqrt(off.reduce((sum, value) => sum + (value - mean) ** 2, 0) / off.length);
}

describe('the clock of a board', () => {
  test.each([
    [0.997, 80, 300],
    [1.003, 80, 300],
    [1.005, 10, 90],
    [0.995, 10, 3600],
    [1, 4, 120],
  ])('that counts %d seconds a second (%d Hz, %d s) is found and taken off', (fast, rate_Hz, duration_s) => {
    const { made_s, device_s, arrival_s } = board({ duration_s, rate_Hz, fast, seed: 7 });
    const clock = mapBoardClock(device_s, arrival_s);
    expect(clock.checked).toBe(true);
    expect(Math.abs(clock.ratio * fast - 1)).toBeLessThan(5e-5);
    expect(scatter(clock.time_s, made_s)).toBeLessThan(1e-3);
  });

  test('0.3 % fast gives the right flow once mapped, and one 0.3 % too small as it comes', () => {
    const { made_s, device_s, arrival_s } = board({ duration_s: 120, rate_Hz: 80, fast: 1.003, seed: 3 });
    const { time_s, ratio } = mapBoardClock(device_s, arrival_s);
    const grams = (i: number) => 25 * (made_s[i]! - made_s[0]!);
    const [a, b] = [2400, 4800];
    expect((grams(b) - grams(a)) / (device_s[b]! - device_s[a]!) / 25).toBeCloseTo(1 / 1.003, 6);
    expect((grams(b) - grams(a)) / (time_s[b]! - time_s[a]!) / 25).toBeCloseTo(1, 4);
    expect(ratio).toBeLessThan(1);
  });

  test('has an error of the ratio about as large as the uncertainty stated (seeds 0-199)', () => {
    const errors = Array.from({ length: 200 }, (_, seed) => {
      const { device_s, arrival_s } = board({ duration_s: 90, rate_Hz: 10, fast: 1.002, seed });
      const clock = mapBoardClock(device_s, arrival_s);
      return (clock.ratio * 1.002 - 1) / clock.ratioStandardUncertainty;
    });
    const rms = Math.sqrt(errors.reduce((sum, error) => sum + error * error, 0) / errors.length);
    expect(rms).toBeGreaterThan(0.6);
    expect(rms).toBeLessThan(1.4);
  });

  test('is not checked under a minute: ratio 1 with 0.3 %', () => {
    const { device_s, arrival_s } = board({ duration_s: 59, rate_Hz: 10, fast: 1.004, seed: 1 });
    expect(mapBoardClock(device_s, arrival_s)).toMatchObject({
      ratio: 1,
      ratioStandardUncertainty: 0.003,
      checked: false,
    });
  });

  test('keeps one ratio over restarts, each with its own offset', () => {
    const first = board({ duration_s: 50, rate_Hz: 10, fast: 1.003, seed: 4 });
    const second = board({ duration_s: 80, rate_Hz: 10, fast: 1.003, seed: 5 });
    const join = (a: Float64Array, b: Float64Array) => Float64Array.from([...a, ...b]);
    const made_s = join(
      first.made_s,
      second.made_s.map((time) => time + 70),
    );
    const clock = mapBoardClock(
      join(first.device_s, second.device_s),
      join(
        first.arrival_s,
        second.arrival_s.map((time) => time + 70),
      ),
      [first.device_s.length],
    );
    expect(clock.checked).toBe(true);
    expect(Math.abs(clock.ratio * 1.003 - 1)).toBeLessThan(5e-5);
    expect(scatter(clock.time_s, made_s)).toBeLessThan(1e-3);
  });

  test('is not led astray by a page that slept for seconds', () => {
    const { made_s, device_s, arrival_s } = board({ duration_s: 120, rate_Hz: 80, fast: 0.998, seed: 6 });
    const late = arrival_s.map((arrival) =>
      arrival > 30 && arrival < 36 ? 36 : arrival > 110 && arrival < 113 ? 113 : arrival,
    );
    const clock = mapBoardClock(device_s, late);
    expect(Math.abs(clock.ratio * 0.998 - 1)).toBeLessThan(5e-5);
    expect(scatter(clock.time_s, made_s)).toBeLessThan(1e-3);
  });

  test('is left alone where the arrivals are no clock', () => {
    const { device_s } = board({ duration_s: 120, rate_Hz: 10, fast: 1, seed: 1 });
    const clock = mapBoardClock(device_s, new Float64Array(device_s.length));
    expect(clock).toMatchObject({ ratio: 1, checked: false });
    expect(clock.time_s[100]! - clock.time_s[0]!).toBeCloseTo(10, 9);
  });

  test('of no samples at all is an empty one', () => {
    expect(mapBoardClock(new Float64Array(0), new Float64Array(0))).toMatchObject({
      checked: false,
      ratio: 1,
    });
  });
});
