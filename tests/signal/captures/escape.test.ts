import fc from 'fast-check';
import { expect, test } from 'vitest';
import { escapeLine, escapeNote, unescapeLine, unescapeNote } from '../../../src/signal/captures/escape.ts';

test('bytes outside 0x20-0x7E, backslashes and a leading ! are escaped', () => {
  expect(escapeLine('a\tb\\c\xff!')).toBe('a\\x09b\\\\c\\xFF!');
  expect(escapeLine('!setting 1')).toBe('\\x21setting 1');
});

test('any bytes come back as they were and never look like a mark or hold a line end (fast-check, seed 20261125)', () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 60 }), (bytes) => {
      const line = String.fromCharCode(...bytes);
      const escaped = escapeLine(line);
      expect(escaped).toMatch(/^(?!!)[\x20-\x7e]*$/);
      expect(unescapeLine(escaped)).toBe(line);
    }),
    { seed: 20261125, numRuns: 3000 },
  );
});

test('any text of a person comes back as it was written (fast-check, seed 20261126)', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'grapheme', maxLength: 40 }), (text) => {
      const escaped = escapeNote(text);
      expect(escaped).toMatch(/^[\x20-\x7e]*$/);
      expect(unescapeNote(escaped)).toBe(text);
    }),
    { seed: 20261126, numRuns: 1000 },
  );
});

test('a backslash that begins no escape, and text typed in by hand, are taken as they stand', () => {
  expect(unescapeLine('C:\\temp \\x4')).toBe('C:\\temp \\x4');
  expect(unescapeLine('µ')).toBe('\xc2\xb5');
  expect(unescapeNote('Düse \\xC3\\xA4')).toBe('Düse ä');
});
