import { describe, expect, it } from 'vitest';
import { trace, type Stretch, type TraceOptions, type TracePoint } from '../../builders/trace.ts';
import { catches, hearPoints } from './hear.ts';

const pour = (lasts_s: number): Stretch => ({ pour_g_per_s: 25, lasts_s, jet_g: 15 });

/** 25 g/s from 10 to 40 s and again from 57 to 87 s; the display stands still from `from_s` to `to_s`. */
function frozen(from_s: number, to_s: number, options: TraceOptions): TracePoint[] {
  const points = trace([{ flat_s: 10 }, pour(30), { flat_s: 17 }, pour(30), { flat_s: 8 }], options);
  const held = points.find((point) => point.time_s >= from_s);
  return points.map((point) =>
    point.time_s >= from_s && point.time_s < to_s ? { ...point, mass_kg: held?.mass_kg ?? null } : point,
  );
}

describe('a display that stands still until after the water has stopped', () => {
  it.each([5, 10, 80].flatMap((rate_Hz) => [16, 20, 25].map((from_s) => ({ rate_Hz, from_s }))))(
    'voids the pour it hid the end of, and not the next one: %o',
    ({ rate_Hz, from_s }) => {
      const [first, second, ...more] = catches(hearPoints(frozen(from_s, 42, { rate_Hz })));
      expect(more).toEqual([]);
      expect(first?.voidBecause).toBe('display-frozen');
      expect(first?.warnings).toContain('display-froze');
      expect(second?.voidBecause).toBeNull();
      expect(second?.warnings).not.toContain('display-froze');
    },
  );

  it('is not suspected of a healthy pour, however still the display', () => {
    for (const noise_g of [0, 0.1])
      for (const averaged of [1, 4])
        for (const rate_Hz of [2, 5, 10, 80])
          for (const step_g of [0.1, 1, 5]) {
            const heard = catches(hearPoints(frozen(999, 999, { noise_g, averaged, rate_Hz, step_g })));
            expect(heard.map((caught) => caught.voidBecause)).toEqual([null, null]);
          }
  });
});
