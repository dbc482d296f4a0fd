import { expect, test } from 'vitest';
import type { SetCompared } from '../../../../web/contract.ts';
import { foundMeans } from '../../../../web/wording/rig-check.ts';
import { askedSentence, outsideSentence } from '../../../../web/wording/routine-next.ts';
import { shownUnits } from '../../../../web/wording/units.ts';
import { psi } from '../sample-sweep.ts';

const { us, metric } = shownUnits;
const gauge = (wand: number) =>
  ({
    kind: 'wand-gauge',
    setting_Pa: psi(60),
    wand_Pa: psi(wand),
    standardUncertainty_Pa: psi(0.5),
  }) as const;

test('a gauge at the wand ends with what it means: beyond its ±, a loss and a dial stay open', () => {
  expect(foundMeans(gauge(54), us)).toBe(
    '6.0 psi are missing at 60 psi: lost on the way, or the dial shows too much. Read the dial at zero next.',
  );
  expect(foundMeans(gauge(54), metric)).toMatch(/^0\.41\d? bar are missing at 4\.1\d* bar/);
  expect(foundMeans(gauge(63), us)).toMatch(
    /^The gauge shows 3\.0 psi more at 60 psi: the dial shows too little/,
  );
  for (const wand of [59.1, 60, 60.9])
    expect(foundMeans(gauge(wand), us)).toMatch(/^What reaches the wand at 60 psi is what the dial shows/);
});

type Compared = NonNullable<Parameters<typeof askedSentence>[0]['compared']>;
const compared = (ratio: number, half: number) => ({
  compared: { ratio, expandedUncertainty95: half } as unknown as Compared,
});

test('of two tips it is said whether the difference reaches the one that was asked for', () => {
  expect(askedSentence(compared(1.031, 0.006), 0.02)).toBe('You asked for 2 %: it is more than that.');
  expect(askedSentence(compared(0.996, 0.004), 0.015)).toBe('You asked for 1.5 %: it is less than that.');
  expect(askedSentence(compared(0.981, 0.006), 0.02)).toContain('may be more or less');
  expect(askedSentence(compared(1.03, 0.006), undefined)).toBe('');
  expect(askedSentence({ compared: null }, 0.02)).toBe('');
});

test('positions outside get a next step, with the pressure off first; none is given where all are within', () => {
  const set = (habit: string) => ({ members: [{ habit: 'within' }, { habit }] }) as unknown as SetCompared;
  expect(outsideSentence(set('outside'))).toMatch(
    /^Pump off, trigger open, pressure at zero.*strainer.*catch again/,
  );
  for (const habit of ['within', 'cannot-tell']) expect(outsideSentence(set(habit))).toBe('');
});
