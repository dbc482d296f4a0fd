import { describe, expect, it } from 'vitest';
import { createBeatSmoother } from '../../../src/signal/catches/beat-smoother.ts';
import { createCatchDetector } from '../../../src/signal/catches/catch-detector.ts';
import { createTurnedDetector } from '../../../src/signal/catches/turned-detector.ts';
import type { TracePoint } from '../../builders/trace.ts';
import { trace } from '../../builders/trace.ts';
import { catches, hearPoints, kinds, onlyCatch, plainPour } from './hear.ts';

const turned = () => createCatchDetector({ averagedReadings: 1, around: createTurnedDetector });
/** A pail's trace as a sprayer's: what comes there leaves here. */
const mirrored = (points: readonly TracePoint[], about_kg: number): TracePoint[] =>
  points.map(({ time_s, mass_kg }) => ({ time_s, mass_kg: mass_kg === null ? null : about_kg - mass_kg }));

describe('a sprayer on the scale', () => {
  const pours = trace([...plainPour(25), ...plainPour(20)]);

  it('is heard as a pail is, with the sign turned: same edges, same masses', () => {
    const pail = catches(hearPoints(pours));
    const sprayer = catches(hearPoints(mirrored(pours, 20), turned()));
    expect(sprayer).toHaveLength(2);
    for (const [i, caught] of sprayer.entries()) {
      expect(caught.start_s).toBeCloseTo(pail[i]!.start_s, 9);
      expect(caught.stop_s).toBeCloseTo(pail[i]!.stop_s, 9);
      expect(caught.settled_kg! - caught.before_kg).toBeCloseTo(pail[i]!.settled_kg! - pail[i]!.before_kg, 9);
      expect(caught.before_kg).toBeCloseTo(pail[i]!.before_kg - 20, 9);
    }
  });

  it('lifted while it sprays is void, and is heard again when it is back', () => {
    const points = mirrored(
      trace([
        { flat_s: 5 },
        { pour_g_per_s: 20, lasts_s: 15 },
        { to_g: 15000, within_s: 0.6 },
        { flat_s: 6 },
        { to_g: 500, within_s: 0.3 },
        { flat_s: 5 },
        { pour_g_per_s: 20, lasts_s: 20 },
        { flat_s: 8 },
      ]),
      15,
    );
    const events = hearPoints(points, turned());
    const [first, second] = catches(events);
    expect(first!.voidBecause).toBe('lifted-while-filling');
    expect(second!.voidBecause).toBeNull();
    expect(second!.settled_kg! - second!.before_kg).toBeCloseTo(0.4, 2);
    expect(kinds(events)).toContain('replaced');
  });

  it('refilled where it stands is told as replaced, and the refill is no catch', () => {
    const points = mirrored(
      trace([
        ...plainPour(20),
        { to_g: -9000, within_s: 50 },
        { flat_s: 5 },
        { pour_g_per_s: 20, lasts_s: 20 },
        { flat_s: 8 },
      ]),
      5,
    );
    const events = hearPoints(points, turned());
    expect(catches(events)).toHaveLength(2);
    const back = events.find((event) => event.kind === 'replaced');
    expect(back?.level_kg).toBeCloseTo(-14, 1);
  });

  it('leaned on for three seconds is still there', () => {
    const points = mirrored(
      trace([
        { flat_s: 6 },
        { to_g: -800, within_s: 0.5 },
        { flat_s: 3 },
        { to_g: 500, within_s: 0.5 },
        { flat_s: 3 },
        { pour_g_per_s: 20, lasts_s: 20 },
        { flat_s: 8 },
      ]),
      18,
    );
    expect(onlyCatch(hearPoints(points, turned())).voidBecause).toBeNull();
  });

  it('set to zero while it sprays is void for that reason', () => {
    const points = trace([{ flat_s: 5 }, { pour_g_per_s: -20, lasts_s: 15 }], { start_g: 12000 });
    const from_s = points.at(-1)!.time_s + 0.1;
    const after = trace([{ pour_g_per_s: -20, lasts_s: 10 }, { flat_s: 5 }], { start_g: 0 }).map((point) => ({
      time_s: from_s + point.time_s,
      mass_kg: point.mass_kg,
    }));
    expect(catches(hearPoints([...points, ...after], turned()))[0]!.voidBecause).toBe('tared-while-filling');
  });

  it('takes any readings without throwing, and a gap starts it anew', () => {
    const listener = turned();
    for (const [time_s, mass_kg] of [
      [0, NaN],
      [1, Infinity],
      [0.5, 3],
      [2, null],
      [2, 4],
      [NaN, 1],
      [3, -1e9],
      [4, 1e9],
    ] as const)
      expect(() => listener.push(time_s, mass_kg)).not.toThrow();
    listener.gap(5, 'device-lost');
    expect(listener.state).toBe('quiet');
    expect(listener.level_kg).toBeNull();
  });
});

describe('strokes of a hand pump', () => {
  /** 12 g/s; the push of the jet swings by 8 g at the beat, so that the level falls as often as it rises. */
  const pumped = (beat_s: number): TracePoint[] =>
    trace([{ flat_s: 6 }, { pour_g_per_s: 12, lasts_s: 50, jet_g: 10 }, { flat_s: 8 }]).map(
      ({ time_s, mass_kg }) => ({
        time_s,
        mass_kg:
          mass_kg! +
          (time_s >= 6 && time_s < 56 ? 0.008 * Math.sin((2 * Math.PI * (time_s - 6)) / beat_s) : 0),
      }),
    );

  it('are one catch heard through the mean over a stroke, and none without it', () => {
    const heard = (around: boolean) =>
      catches(
        hearPoints(
          pumped(2),
          createCatchDetector({
            averagedReadings: 1,
            ...(around ? { around: (usual) => createBeatSmoother(usual, 2) } : {}),
          }),
        ),
      ).filter((caught) => caught.voidBecause === null);
    const [caught, ...more] = heard(true);
    expect(more).toEqual([]);
    expect(caught!.start_s).toBeGreaterThan(5);
    expect(caught!.start_s).toBeLessThan(7);
    expect(caught!.stop_s).toBeGreaterThan(55);
    expect(caught!.stop_s).toBeLessThan(57.2);
    expect(heard(false).some((one) => one.stop_s - one.start_s > 45)).toBe(false);
  });

  it('tell their events with the time at which they were told, never one before', () => {
    const listener = createCatchDetector({
      averagedReadings: 1,
      around: (usual) => createBeatSmoother(usual, 2),
    });
    for (const { time_s, mass_kg } of pumped(2))
      for (const event of listener.push(time_s, mass_kg)) expect(event.at_s).toBe(time_s);
  });
});
