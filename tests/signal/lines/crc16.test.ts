import { expect, test } from 'vitest';
import { crc16, sealBenchSentence } from '../../../src/signal/lines/crc16.ts';

// Source: CRC-16/XMODEM check value for 123456789, catalogue of parametrised CRC algorithms; from memory, not looked up.
test('CRC-16/XMODEM gives its published check value 31C3 for "123456789"', () => {
  expect(crc16('123456789').toString(16)).toBe('31c3');
});

test('the sealed example sentence is the one in the description of the bench line', () => {
  expect(sealBenchSentence('S,11,149827,121985,4,139915,30720,00')).toBe(
    '$S,11,149827,121985,4,139915,30720,00*3448',
  );
});

test('a part of a string is summed without cutting it out', () => {
  expect(crc16('xx123456789yy', 2, 11)).toBe(0x31c3);
});
