import { describe, expect, it } from 'vitest';
import type { Stretch } from '../../builders/trace.ts';
import { catches, hear, kinds, onlyCatch, plainPour } from './hear.ts';

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
