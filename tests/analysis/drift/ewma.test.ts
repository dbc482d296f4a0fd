import { expect, test } from 'vitest';
import { ewma, ewmaSpread } from '../../../src/analysis/drift/ewma.ts';

test('an estimated baseline widens the limits for ever, a known one only at the start', () => {
  expect(ewmaSpread(0.4, 1, Infinity)).toBeCloseTo(0.4, 12);
  expect(ewmaSpread(0.4, Infinity, Infinity)).toBeCloseTo(0.5, 12);
  expect(ewmaSpread(0.4, Infinity, 3)).toBeCloseTo(Math.sqrt(0.25 + 1 / 3), 12);
  expect(ewmaSpread(0.4, 1, 3)).toBeCloseTo(Math.sqrt(0.16 + 0.16 / 3), 12);
});

test('a weight or a count that is none is a mistake', () => {
  expect(() => ewma([1], 0, 0)).toThrow(RangeError);
  expect(() => ewma([1], 1.2, 0)).toThrow(RangeError);
  expect(() => ewmaSpread(0.4, 0, 3)).toThrow(RangeError);
});
