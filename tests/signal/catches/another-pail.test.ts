import { describe, expect, it } from 'vitest';
import type { Stretch } from '../../builders/trace.ts';
import { catches, hear, kinds } from './hear.ts';

const pour = (lasts_s: number): Stretch => ({ pour_g_per_s: 25, lasts_s, jet_g: 8 });

describe('a pail changed for a lighter one while the water runs on', () => {
  it.each([5, 10, 80].flatMap((rate_Hz) => [-1000, -1500, -2500].map((jump_g) => ({ rate_Hz, jump_g }))))(
    'voids that catch and no other, and the rest of the water is none: %o',
    ({ rate_Hz, jump_g }) => {
      const events = hear(
        [
          { flat_s: 20 },
          pour(12),
          { jump_g },
          pour(18),
          { flat_s: 10 },
          pour(25),
          { flat_s: 15 },
          pour(25),
          { flat_s: 8 },
        ],
        { rate_Hz },
      );
      const heard = catches(events);
      expect(heard.map((caught) => caught.voidBecause)).toEqual(['lifted-while-filling', null, null]);
      [20, 60, 100].forEach((start_s, i) => {
        expect(Math.abs((heard[i]?.start_s ?? 0) - start_s)).toBeLessThan(0.25);
      });
    },
  );
});

describe('a scale set to zero in the very moment the water stopped', () => {
  it.each([2, 5, 10, 80].flatMap((rate_Hz) => [0.2, 0.5].map((after_s) => ({ rate_Hz, after_s }))))(
    'is taken for a lift at first, and the next pour is found with its own start: %o',
    ({ rate_Hz, after_s }) => {
      const events = hear(
        [
          { flat_s: 20 },
          pour(25),
          { flat_s: after_s },
          { jump_g: -1125 },
          { flat_s: 20 - after_s },
          pour(25),
          { flat_s: 8 },
        ],
        { rate_Hz },
      );
      expect(kinds(events)).not.toContain('withdrawn');
      const [, second, ...more] = catches(events);
      expect(more).toEqual([]);
      expect(second?.voidBecause).toBeNull();
      expect(Math.abs((second?.start_s ?? 0) - 65)).toBeLessThan(Math.max(0.15, 1 / rate_Hz));
      expect(second?.before_kg).toBeCloseTo(0, 2);
    },
  );
});
