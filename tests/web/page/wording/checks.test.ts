import { expect, test } from 'vitest';
import type { CheckPrompt, CheckResult } from '../../../../web/contract.ts';
import { checkFigure, checkLine, checkSentence, inForceLines } from '../../../../web/wording/checks.ts';
import { trickleSentence } from '../../../../web/wording/check-over.ts';
import { captionOf } from '../../../../web/wording/prompts.ts';
import { shownUnits } from '../../../../web/wording/units.ts';

const { us, metric } = shownUnits;

test('what is asked is said in the person’s units, and the voice says the same', () => {
  const mass = { kind: 'mass', mass_kg: 4.5359237 } as const;
  const first: CheckPrompt = { kind: 'put-on', amount: mass, nth: 1, of: 2 };
  expect(checkLine(first, us)).toBe('Now put 10 lb on.');
  expect(checkLine({ ...first, nth: 2 }, metric)).toBe('Now 4.536 kg on it in all.');
  const water = { kind: 'volume', volume_m3: 0.005, mass_kg: 4.99 } as const;
  expect(checkLine({ ...first, amount: water }, metric)).toBe('Now 5 L of water in the jug.');
  expect(captionOf({ kind: 'check', prompt: first }, us)).toBe(checkLine(first, us));
  expect(checkLine({ kind: 'bring-to-pressure', known_Pa: 400_000 }, metric)).toContain('4 bar');
  for (const kind of ['take-off', 'leave-alone', 'open-to-air', 'check-done'] as const)
    expect(checkLine({ kind }, us)).not.toBe('');
});

test('a clock, a meter and a sensor are told as figures with their ±', () => {
  const clock = { kind: 'clock', ratio: 0.998, standardUncertainty: 1e-4, watched_s: 62 } as const;
  expect(checkFigure(clock, us)).toMatchObject({ value: '0.200', plusMinus: '0.020', unit: '% high' });
  const meter = {
    kind: 'meter',
    pulsesPerCubicMetre: 451_200,
    pulsesPerCubicMetreStandardUncertainty: 400,
    offset_Hz: 0.92,
    offsetStandardUncertainty_Hz: 0.02,
    correlation: 0.9,
    referenceRelativeStandardUncertainty: 1e-3,
    lowestFlow_m3_per_s: 0.5 / 60000,
    highestFlow_m3_per_s: 2 / 60000,
    points: 10,
    reducedChiSquare: 1,
    warnings: [],
  } as const;
  expect(checkFigure(meter, us)).toMatchObject({ value: '451.2', plusMinus: '0.8', unit: 'pulses a litre' });
  expect(checkSentence(meter, metric)).toContain('Checked from 0.5 to 2 L/min; below that it gives no flow.');
  expect(checkSentence({ ...meter, offset_Hz: null }, metric)).toContain('its offset is not known');
  const sensor = {
    kind: 'pressure',
    known_Pa: 4e5,
    zero_Pa: 2e3,
    gain: 0.994,
    standardUncertainty_Pa: 1e3,
  } as const;
  expect(checkFigure(sensor, metric).unit).toBe('bar at zero');
});

test('what is in force is one line each, and nothing before a check', () => {
  expect(inForceLines(undefined)).toEqual([]);
  const clock = { kind: 'clock', ratio: 1.002, standardUncertainty: 1e-4, watched_s: 62 } as const;
  expect(inForceLines({ scale: null, meter: null, clock, pressure: null })).toEqual([
    'Clock checked: runs 0.2 % slow, corrected.',
  ]);
});

test('what still stands on the scale has to go, and is said with the end of the check', () => {
  expect(checkLine({ kind: 'check-done' }, us)).toBe('The check is done.');
  expect(checkLine({ kind: 'check-done', leaves: 'water-in-pail' }, us)).toBe(
    'The check is done. Empty the pail, and put it back.',
  );
  expect(checkLine({ kind: 'check-done', leaves: 'jug' }, us)).toContain('Take the jug off');
});

test('whether the scale swallows a drip is told, yes or no, with what it showed', () => {
  const found = { kind: 'scale', drift: null } as unknown as Extract<CheckResult, { kind: 'scale' }>;
  const trickle = { trickled_kg: 0.03, shown_kg: 0.0298, swallowed: false };
  expect(trickleSentence({ ...found, trickle }, metric)).toBe(
    'The scale does not swallow a drip: of 30 g poured in slowly it showed 30 g.',
  );
  expect(
    trickleSentence({ ...found, trickle: { ...trickle, shown_kg: 0.011, swallowed: true } }, metric),
  ).toBe('The scale swallows a drip: of 30 g poured in slowly it showed 11 g.');
  expect(trickleSentence(found, metric)).toBe('');
});
