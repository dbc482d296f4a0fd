import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parseScaleLine, type ScaleLine } from '../../../src/signal/lines/scale-line.ts';

const plain: ScaleLine = { value: null, unit: null, stable: null, net: null, state: 'ok', step: null };

/** The same characters as a 7E1 or 7O1 sender puts them on the wire, seen by an 8N1 reader. */
function withParity(text: string, odd: boolean): string {
  return Array.from(text, (character) => {
    const code = character.charCodeAt(0);
    const ones = code.toString(2).replaceAll('0', '').length;
    return String.fromCharCode((ones % 2 === 1) !== odd ? code | 0x80 : code);
  }).join('');
}

describe('a line of an ordinary scale', () => {
  test.each<[string, Partial<ScaleLine>]>([
    ['  512.0 g', { value: 512, unit: 'g', step: 0.1 }],
    ['512', { value: 512, step: 1 }],
    ['-   12.50 kg', { value: -12.5, unit: 'kg', step: 0.01 }],
    ['+0012.5kg', { value: 12.5, unit: 'kg', step: 0.1 }],
    ['12,5 g', { value: 12.5, unit: 'g', step: 0.1 }],
    ['ST,GS,+  123.45 kg', { value: 123.45, unit: 'kg', step: 0.01, stable: true, net: false }],
    ['US,NT,- 0000.5lb', { value: -0.5, unit: 'lb', step: 0.1, stable: false, net: true }],
    ['S S    100.00 g', { value: 100, unit: 'g', step: 0.01, stable: true }],
    ['S D    100.00 g', { value: 100, unit: 'g', step: 0.01, stable: false }],
    ['   1.250 lbs ?', { value: 1.25, unit: 'lb', step: 0.001, stable: false }],
    ['   1.250 oz *', { value: 1.25, unit: 'oz', step: 0.001, stable: false }],
    ['N     12.5 g', { value: 12.5, unit: 'g', step: 0.1, net: true }],
    ['G     12.5 g', { value: 12.5, unit: 'g', step: 0.1, net: false }],
    ['G     12.5', { value: 12.5, step: 0.1, net: false }],
    ['12.5 g G', { value: 12.5, unit: 'g', step: 0.1, net: false }],
    ['Weight: 12.5 g net stable', { value: 12.5, unit: 'g', step: 0.1, net: true, stable: true }],
    ['12.5 NET', { value: 12.5, step: 0.1, net: true }],
    ['  512. g', { value: 512, unit: 'g', step: 1 }],
    ['-0.0 g', { value: 0, unit: 'g', step: 0.1 }],
    ['  0.5 t', { value: 0.5, unit: 't', step: 0.1 }],
    ['500 mg', { value: 500, unit: 'mg', step: 1 }],
  ])('is read tolerantly: %j', (line, expected) => {
    expect(parseScaleLine(line)).toEqual({ ...plain, ...expected });
  });

  test.each<[string, Partial<ScaleLine>]>([
    ['OL', { state: 'over' }],
    ['  OL   kg', { state: 'over' }],
    ['OL,GS,+9999999E+19', { state: 'over' }],
    ['ST,GS,  OL  kg', { state: 'over', unit: 'kg', stable: true, net: false }],
    ['^^^^.^^ g', { state: 'over', unit: 'g' }],
    ['____._', { state: 'under' }],
    ['------ kg', { state: 'wait', unit: 'kg' }],
    ['--.--', { state: 'wait' }],
    ['- - - -', { state: 'wait' }],
    ['        ', { state: 'wait' }],
    ['         g', { state: 'wait', unit: 'g' }],
    ['US,NT,        kg', { state: 'wait', unit: 'kg', stable: false, net: true }],
    ['S I', { state: 'wait', stable: true }],
    ['S +', { state: 'over', stable: true }],
    ['S -', { state: 'under', stable: true }],
    ['UNDERLOAD', { state: 'under' }],
  ])('shows no number over or under range or while it waits: %j', (line, expected) => {
    const got = parseScaleLine(line);
    expect(got).toMatchObject({ value: null, step: null, state: expected.state });
    if (expected.unit !== undefined) expect(got).toMatchObject({ unit: expected.unit });
    if (expected.net !== undefined) expect(got).toMatchObject({ net: expected.net });
  });

  test.each([
    ['', 'line-empty'],
    ['12.5 g 3', 'line-two-numbers'],
    ['1 lb 3.5 oz', 'line-two-numbers'],
    ['1,234.5 g', 'line-two-numbers'],
    ['2026-05-04 09:12', 'line-two-numbers'],
    ['12.5 ct', 'line-unknown-unit'],
    ['12.5 N', 'line-unknown-unit'],
    ['12.5 st', 'line-unknown-unit'],
    ['12.5 gr', 'line-unknown-unit'],
    ['12.5 %', 'line-unknown-unit'],
    ['120 PCS', 'line-unknown-unit'],
    ['T   12.5 g', 'line-unknown-word'],
    ['TOTAL 12.5 g', 'line-unknown-word'],
    ['temperature 21.5 C', 'line-unknown-word'],
    ['12.5 g extra', 'line-unknown-word'],
    ['#12.5 g', 'line-unknown-word'],
    ['OK', 'line-unknown-word'],
    ['12.5 g OL', 'line-unknown-word'],
    ['stable', 'line-no-number'],
    ['I', 'line-unknown-word'],
    ['kg', 'line-no-number'],
    [' ', 'line-no-number'],
    ['-', 'line-no-number'],
    ['$XXABC,123519,4807.038,N,01131.000,E*47', 'line-unknown-sentence'],
    ['$S,11,149827,121985,4,139915,30720,00*3448', 'line-unknown-sentence'],
    ['1234567890123 g', 'line-field-wrong'],
    ['\x00\xf8\x80\xfe\x01', 'line-not-printable'],
    ['51\x072 g', 'line-not-printable'],
    ['12.5 \xb5g', 'line-not-printable'],
  ])('is refused where it is not exactly one number with known words: %j is %s', (line, because) => {
    expect(parseScaleLine(line)).toBe(because);
  });

  test.each([false, true])('is read with the parity bit on top (odd: %s)', (odd) => {
    const line = 'ST,NT,-  012.34 kg';
    expect(withParity(line, odd)).not.toBe(line);
    expect(parseScaleLine(withParity(line, odd))).toEqual(parseScaleLine(line));
  });

  test('gives back any number in any of its printed shapes (fast-check, seed 20261125)', () => {
    const shape = fc.record({
      digits: fc.integer({ min: 0, max: 9_999_999 }),
      decimals: fc.integer({ min: 0, max: 3 }),
      minus: fc.boolean(),
      comma: fc.boolean(),
      padding: fc.integer({ min: 0, max: 6 }),
      unit: fc.constantFrom('', 'mg', 'g', 'kg', 'lb', 'oz'),
      before: fc.constantFrom('', 'ST,GS,', 'US,NT,', 'S D ', 'Net: '),
      after: fc.constantFrom('', ' ?', ' '),
    });
    fc.assert(
      fc.property(shape, ({ digits, decimals, minus, comma, padding, unit, before, after }) => {
        const value = digits / 10 ** decimals;
        const shown = value.toFixed(decimals).replace('.', comma ? ',' : '.');
        const got = parseScaleLine(
          `${before}${minus ? '-' : '+'}${' '.repeat(padding)}${shown} ${unit}${after}`,
        );
        expect(got).toMatchObject({
          value: minus ? 0 - value : value,
          unit: unit === '' ? null : unit,
          state: 'ok',
        });
      }),
      { seed: 20261125, numRuns: 1000 },
    );
  });

  test('never crashes on noise (fast-check, seed 20261126)', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 40 }), (bytes) => {
        const got = parseScaleLine(String.fromCharCode(...bytes));
        expect(typeof got === 'string' || got.value === null || Number.isFinite(got.value)).toBe(true);
      }),
      { seed: 20261126, numRuns: 3000 },
    );
  });
});
