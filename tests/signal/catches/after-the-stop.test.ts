import { describe, expect, it } from 'vitest';
import { createCatchDetector } from '../../../src/signal/catches/catch-detector.ts';
import { trace, type Stretch } from '../../builders/trace.ts';
import { catches, hear, hearPoints, kinds, onlyCatch, plainPour } from './hear.ts';

/** 20 g/s from 5 to 25 s into a pail of 500 g: 900 g, and then something happens to it. */
const pouredThen = (after_s: number, ...then: Stretch[]): Stretch[] => [...plainPour(20, after_s), ...then];

describe('a display that jumps to zero soon after the water stopped', () => {
  const rates_Hz = [2, 5, 10, 80];
  const times_s = [1, 1.5, 2, 2.5, 3];

  it.each(rates_Hz.flatMap((rate_Hz) => times_s.map((after_s) => ({ rate_Hz, after_s }))))(
    'leaves the catch standing, with the level from before the jump: $after_s s after, $rate_Hz readings a second',
    ({ rate_Hz, after_s }) => {
      const events = hear(pouredThen(after_s, { jump_g: -900 }, { flat_s: 6 }), { rate_Hz });
      const caught = onlyCatch(events);
      expect(kinds(events)).not.toContain('withdrawn');
      expect(caught.voidBecause).toBeNull();
      expect(caught.settled_kg).toBeCloseTo(0.9, 2);
      expect(Math.abs(caught.stop_s - 25)).toBeLessThan(Math.max(0.15, 2 / rate_Hz));
    },
  );

  it('leaves it standing when the readings end before the jump has been judged', () => {
    const caught = onlyCatch(hear(pouredThen(1.5, { jump_g: -900 }, { flat_s: 0.4 })));
    expect(caught.voidBecause).toBeNull();
    expect(caught.settled_kg).toBeCloseTo(0.9, 2);
  });

  it('leaves it standing when the readings end in the middle of a lift', () => {
    const caught = onlyCatch(hear(pouredThen(1.5, { to_g: 100, within_s: 0.4 }, { flat_s: 0.3 })));
    expect(caught.voidBecause).toBeNull();
    expect(caught.settled_kg).toBeCloseTo(0.9, 2);
  });

  it('lets the next pour begin at zero', () => {
    const [first, second, ...more] = catches(hear(pouredThen(1.5, { jump_g: -900 }, ...plainPour(20))));
    expect(more).toEqual([]);
    expect(first?.voidBecause).toBeNull();
    expect(second?.before_kg).toBeCloseTo(0, 2);
  });
});

describe('a pail that is lifted as soon as the water has stopped', () => {
  it.each(
    [1, 4].flatMap((averaged) =>
      [...(averaged === 1 ? [0.4, 0.5] : []), 0.7, 0.8, 1, 1.2].flatMap((after_s) => [
        { averaged, after_s, within_s: 0 },
        { averaged, after_s, within_s: 0.3 },
      ]),
    ),
  )('is a catch with its own stop, not one lifted while filling: %o', ({ averaged, after_s, within_s }) => {
    const lift: Stretch = within_s > 0 ? { to_g: 0, within_s } : { jump_g: -900 };
    const points = trace(pouredThen(after_s, lift, { flat_s: 5 }), { averaged });
    const caught = onlyCatch(hearPoints(points, createCatchDetector({ averagedReadings: averaged })));
    expect(caught.voidBecause).toBeNull();
    expect(Math.abs(caught.stop_s - 25)).toBeLessThan(0.3);
    if (caught.settled_kg !== null) expect(caught.settled_kg).toBeCloseTo(0.9, 2);
  });

  it.each([1, 4])('is void while the water still ran (an average of %i readings)', (averaged) => {
    for (const lift of [{ to_g: 0, within_s: 0.3 }, { jump_g: -900 }]) {
      const points = trace(pouredThen(0, lift, { flat_s: 5 }), { averaged });
      const caught = onlyCatch(hearPoints(points, createCatchDetector({ averagedReadings: averaged })));
      expect(caught.voidBecause).toBe('lifted-while-filling');
    }
  });

  it('keeps the level that was seen before a lift long after the stop, on a display that had not come to rest', () => {
    // Drips 3 g after the valve, as on the simulated bench (rough, seed 5), and is lifted before that counts as flat.
    const events = hear(
      pouredThen(
        0,
        { flat_s: 1 },
        { pour_g_per_s: 1.5, lasts_s: 2 },
        { to_g: 0, within_s: 0.8 },
        { flat_s: 5 },
      ),
    );
    const caught = onlyCatch(events);
    expect(caught.voidBecause).toBeNull();
    expect(caught.settled_kg).toBeCloseTo(0.903, 2);
  });
});

describe('the push of the jet that falls away at shut-off', () => {
  it.each([5, 10, 20, 80].flatMap((rate_Hz) => [10, 20].map((jet_g) => ({ rate_Hz, jet_g }))))(
    'is no knock on the pail: $rate_Hz readings a second, $jet_g g (30 seeds)',
    ({ rate_Hz, jet_g }) => {
      const heard = Array.from({ length: 30 }, (_, i) =>
        hear([{ flat_s: 5 }, { pour_g_per_s: 25, lasts_s: 20, jet_g }, { flat_s: 6 }], {
          rate_Hz,
          seed: i + 1,
        }),
      );
      for (const events of heard) {
        expect(kinds(events)).not.toContain('bumped');
        expect(onlyCatch(events).warnings).not.toContain('bumped-while-filling');
      }
    },
  );

  it.each([4, 2.5])('hides no knock of 40 g that came %f s before it', (before_s) => {
    const events = hear([
      { flat_s: 5 },
      { pour_g_per_s: 20, lasts_s: 15, jet_g: 10 },
      { to_g: 845, within_s: 0.1 },
      { to_g: 806, within_s: 0.1 },
      { pour_g_per_s: 20, lasts_s: before_s, jet_g: 10 },
      { flat_s: 8 },
    ]);
    expect(kinds(events).filter((kind) => kind === 'bumped')).toHaveLength(1);
    expect(onlyCatch(events).warnings).toContain('bumped-while-filling');
  });
});
