import { expect, test } from 'vitest';
import { factsText } from '../../../../web/wording/facts.ts';
import { shownUnits } from '../../../../web/wording/units.ts';

test('facts stand in the person’s units with few digits', () => {
  const tooBig = { mass_kg: 226.796185, limit_kg: 18.143694800000002 };
  expect(factsText(tooBig, shownUnits.us)).toBe('mass: 500 lb, limit: 40 lb');
  expect(factsText(tooBig, shownUnits.metric)).toBe('mass: 227 kg, limit: 18.1 kg');
  expect(
    factsText({ known_Pa: 275790.3, temperature_degC: 60, flow_m3_per_s: 2.5e-5 }, shownUnits.metric),
  ).toBe('known: 2.76 bar, temperature: 60 °C, flow: 1.5 L/min');
  expect(factsText({ trickle_kg: 22.7, most_kg: 1.814 }, shownUnits.us)).toBe(
    'poured in: 50 lb, at most: 4 lb',
  );
});

test('text, counts and nothing stay as they are', () => {
  expect(factsText({ line: 12, key: 'unit', value: 'stone' }, shownUnits.us)).toBe(
    'line: 12, key: unit, value: stone',
  );
  expect(factsText({ ratio: 1.23456 }, shownUnits.us)).toBe('ratio: 1.23');
  expect(factsText(undefined, shownUnits.us)).toBe('');
});
