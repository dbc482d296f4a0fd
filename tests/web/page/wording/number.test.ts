import { expect, test } from 'vitest';
import {
  clockTime,
  decimalsFor,
  fixed,
  giveOrTake,
  significant,
  withUncertainty,
} from '../../../../web/wording/number.ts';

test.each([
  // The two figures named in the look: three decimals for both.
  [0.41283, 0.0201, '0.413', '0.020'],
  [0.41233, 0.0031, '0.412', '0.003'],
  // One digit from 3 up, two below: 0.0029 has two, 0.00296 rounds to 0.003 and keeps one.
  [0.41234, 0.0029, '0.4123', '0.0029'],
  [0.41234, 0.00296, '0.412', '0.003'],
  [0.41234, 0.00094, '0.4123', '0.0009'],
  [0.41234, 0.00096, '0.4123', '0.0010'],
  [12.5, 0.3, '12.5', '0.3'],
  [1234, 30, '1230', '30'],
  [1234, 120, '1230', '120'],
  [-0.0001, 0.02, '0.000', '0.020'],
  [-1.234, 0.05, '−1.23', '0.05'],
])('%f with ± %f is shown as %s ± %s', (value, uncertainty, shown, plusMinus) => {
  expect(withUncertainty(value, uncertainty)).toEqual({ value: shown, plusMinus });
});

test('a shown value is never finer than its shown ±', () => {
  for (let exponent = -6; exponent <= 3; exponent += 1)
    for (let leading = 1; leading < 10; leading += 0.07) {
      const cut = withUncertainty(1.23456789, leading * 10 ** exponent)!;
      const places = (text: string): number => text.split('.')[1]?.length ?? 0;
      expect(places(cut.value)).toBe(places(cut.plusMinus));
      const digits = cut.plusMinus.replace('.', '').replace(/^0+/, '');
      if (exponent < 0) expect(digits.length).toBeLessThanOrEqual(2);
    }
});

test.each([0, -1, Number.NaN, Number.POSITIVE_INFINITY])(
  'an uncertainty of %f gives no digits',
  (uncertainty) => {
    expect(decimalsFor(uncertainty)).toBeNull();
    expect(withUncertainty(1, uncertainty)).toBeNull();
  },
);

test('no number is shown where there is none', () => {
  expect(fixed(Number.NaN, 2)).toBe('–');
  expect(significant(Number.POSITIVE_INFINITY, 2)).toBe('–');
});

test('minus zero is zero', () => {
  expect(fixed(-0.0004, 2)).toBe('0.00');
});

test('a figure with its ± reads as a person would say it', () => {
  expect(giveOrTake(0.41233, 0.0031, 'gal/min')).toBe('0.412 gal/min, give or take 0.003');
});

test('significant digits without trailing zeros', () => {
  expect(significant(40, 4)).toBe('40');
  expect(significant(1.5000001, 4)).toBe('1.5');
  expect(significant(0, 3)).toBe('0');
});

test('clock times are minutes and seconds', () => {
  expect(clockTime(0)).toBe('0:00');
  expect(clockTime(119.6)).toBe('2:00');
});
