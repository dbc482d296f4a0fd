import { expect, test } from 'vitest';
import { typedNumber, typedNumbers } from '../../../../web/wording/typed-number.ts';

test.each([
  ['1,5', 1.5],
  ['1.5', 1.5],
  [' 40 ', 40],
  ['-3', -3],
  ['−3', -3],
  ['.5', 0.5],
  [',5', 0.5],
])('“%s” is a number', (text, value) => {
  expect(typedNumber(text)).toBe(value);
});

test.each(['', 'forty', '1.2.3', '1,2,3', '1e5', 'Infinity', '0x10', '4 0', '--4'])(
  '“%s” is not a number',
  (text) => {
    expect(typedNumber(text)).toBeNull();
  },
);

test.each([
  ['20 30 40', false, [20, 30, 40]],
  ['20,30,40', false, [20, 30, 40]],
  ['20, 30, 40', true, [20, 30, 40]],
  ['1,5 2 2,5', true, [1.5, 2, 2.5]],
  ['1,5; 2; 2,5', true, [1.5, 2, 2.5]],
  ['2,5', true, [2.5]],
  ['20,30', false, [20, 30]],
  ['', false, []],
])('the list “%s” is understood', (text, loneCommaIsDecimal, numbers) => {
  expect(typedNumbers(text, loneCommaIsDecimal)).toEqual({ numbers });
});

test('the piece that is no number is named', () => {
  expect(typedNumbers('20 fourty 60', false)).toEqual({ notANumber: 'fourty' });
});
