import { describe, expect, it } from 'vitest';
import type { Stretch } from '../../builders/trace.ts';
import { catches, hear, kinds } from './hear.ts';

const next: Stretch[] = [{ flat_s: 10 }, { pour_g_per_s: 25, lasts_s: 20, jet_g: 8 }, { flat_s: 8 }];

describe('water that runs already when the readings begin', () => {
  it.each([2, 5, 10, 80].flatMap((rate_Hz) => [6, 25].map((lasts_s) => ({ rate_Hz, lasts_s }))))(
    'is told as void, with its stop, and the next pour is a catch: %o',
    ({ rate_Hz, lasts_s }) => {
      const [first, second, ...more] = catches(
        hear([{ pour_g_per_s: 25, lasts_s, jet_g: 8 }, ...next], { rate_Hz }),
      );
      expect(more).toEqual([]);
      expect(first?.voidBecause).toBe('running-at-the-start');
      expect(first?.start_s).toBeLessThan(0.1);
      expect(Math.abs((first?.stop_s ?? 0) - lasts_s)).toBeLessThan(Math.max(0.15, 1 / rate_Hz));
      expect(second?.voidBecause).toBeNull();
      expect(Math.abs((second?.start_s ?? 0) - lasts_s - 10)).toBeLessThan(Math.max(0.15, 1 / rate_Hz));
    },
  );

  it('is told from the first reading after a gap at the very beginning, too', () => {
    const events = hear([
      { pour_g_per_s: 25, lasts_s: 2 },
      { missing_s: 3 },
      { pour_g_per_s: 25, lasts_s: 10 },
      ...next,
    ]);
    expect(catches(events).map((caught) => caught.voidBecause)).toEqual(['running-at-the-start', null]);
  });

  it.each<[string, Stretch[]]>([
    [
      'a hand that comes to rest',
      [
        { to_g: 900, within_s: 1.5 },
        { to_g: 930, within_s: 2.5 },
      ],
    ],
    ['a pail that is put down', [{ to_g: 1400, within_s: 0.5 }]],
    ['a level that rests', [{ flat_s: 2 }]],
  ])('is not %s', (_, stretches) => {
    const heard = hear([...stretches, ...next]);
    expect(kinds(heard).filter((kind) => kind === 'filling')).toHaveLength(1);
    expect(catches(heard).map((caught) => caught.voidBecause)).toEqual([null]);
  });
});
