import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parseBenchLine } from '../../../src/signal/lines/bench-sentence.ts';
import { sealBenchSentence as seal } from '../../../src/signal/lines/crc16.ts';

describe('a line of the bench board', () => {
  test('is read as in the example of its description', () => {
    expect(parseBenchLine('$S,11,149827,121985,4,139915,30720,00*3448')).toEqual({
      kind: 'sample',
      seq: 11,
      t_us: 149827,
      raw: 121985,
      count: 4,
      edge_us: 139915,
      adc: 30720,
      flags: 0,
    });
  });

  test('may have no load cell, no pulse yet and no pressure yet', () => {
    expect(parseBenchLine(seal('S,0,4294967295,,0,,,1A'))).toEqual({
      kind: 'sample',
      seq: 0,
      t_us: 4294967295,
      raw: null,
      count: 0,
      edge_us: null,
      adc: null,
      flags: 0x1a,
    });
  });

  test('reaches both end values of the converter', () => {
    expect(parseBenchLine(seal('S,1,2,-8388608,0,,0,00'))).toMatchObject({ raw: -8388608 });
    expect(parseBenchLine(seal('S,1,2,8388607,0,,65472,00'))).toMatchObject({ raw: 8388607 });
  });

  test('can be a reset, an answer, an error or the bare identity', () => {
    expect(parseBenchLine(seal('B,1.2'))).toEqual({ kind: 'boot', version: '1.2' });
    expect(parseBenchLine(seal('A,RATE,80'))).toEqual({ kind: 'answer', name: 'RATE', value: '80' });
    expect(parseBenchLine(seal('E,3'))).toEqual({ kind: 'error', code: 3 });
    expect(parseBenchLine('Open bench,board,0,1.2')).toMatchObject({
      kind: 'identity',
      fields: ['Open bench', 'board', '0', '1.2'],
    });
  });

  test.each([
    ['', 'line-empty'],
    ['hello', 'line-not-a-sentence'],
    ['  512.0 g', 'line-not-a-sentence'],
    // The tail of a cut sentence: four comma fields, yet no identity.
    ['4,139915,30720,00*3448', 'line-not-a-sentence'],
    ['$S,11,149827,121985,4,1399', 'line-not-a-sentence'],
    ['$S,11,149827,121985,4,139915,30720,00*344', 'line-not-a-sentence'],
    ['$S,11,149827,121985,4,139915,30720,00*344a', 'line-not-a-sentence'],
    // Two check digits: the sentence of another device.
    ['$XXABC,123519,4807.038,N*47', 'line-not-a-sentence'],
    ['$S,11,149827,121986,4,139915,30720,00*3448', 'line-checksum-wrong'],
    ['$S,11,149827,12\xff985,4,139915,30720,00*3448', 'line-not-printable'],
    ['\x00\xf8\x80\xfe', 'line-not-printable'],
    [seal('Q,1'), 'line-unknown-sentence'],
    [seal('S'), 'line-field-wrong'],
    [seal('S,65536,1,1,0,,0,00'), 'line-field-wrong'],
    [seal('S,1,4294967296,1,0,,0,00'), 'line-field-wrong'],
    [seal('S,1,1,8388608,0,,0,00'), 'line-field-wrong'],
    [seal('S,1,1,-8388609,0,,0,00'), 'line-field-wrong'],
    [seal('S,1,1,-,0,,0,00'), 'line-field-wrong'],
    [seal('S,1,1,1.5,0,,0,00'), 'line-field-wrong'],
    [seal('S,1,1,1,0,,65473,00'), 'line-field-wrong'],
    [seal('S,1,1,1,0,5,0,00'), 'line-field-wrong'],
    [seal('S,1,1,1,3,,0,00'), 'line-field-wrong'],
    [seal('S,1,1,1,0,,0,0'), 'line-field-wrong'],
    [seal('S,1,1,1,0,,0,0G'), 'line-field-wrong'],
    [seal('S,1,1,1,0,,0,00,7'), 'line-field-wrong'],
    [seal('S,,1,1,0,,0,00'), 'line-field-wrong'],
    [seal('B'), 'line-field-wrong'],
    [seal('E,4'), 'line-field-wrong'],
    [seal('A,RATE'), 'line-field-wrong'],
  ])('is refused with the reason where it is none: %j is %s', (line, because) => {
    expect(parseBenchLine(line)).toBe(because);
  });

  test('gives back every field of any sample it could be (fast-check, seed 20261125)', () => {
    const u32 = fc.integer({ min: 0, max: 4294967295 });
    const sample = fc
      .record({
        seq: fc.integer({ min: 0, max: 65535 }),
        t_us: u32,
        raw: fc.option(fc.integer({ min: -8388608, max: 8388607 })),
        count: u32,
        edge_us: u32,
        adc: fc.option(fc.integer({ min: 0, max: 65472 })),
        flags: fc.integer({ min: 0, max: 255 }),
      })
      .map((s) => ({ kind: 'sample' as const, ...s, edge_us: s.count === 0 ? null : s.edge_us }));
    fc.assert(
      fc.property(sample, (s) => {
        const hex = s.flags.toString(16).toUpperCase().padStart(2, '0');
        const body = `S,${s.seq},${s.t_us},${s.raw ?? ''},${s.count},${s.edge_us ?? ''},${s.adc ?? ''},${hex}`;
        expect(parseBenchLine(seal(body))).toEqual(s);
      }),
      { seed: 20261125, numRuns: 1000 },
    );
  });

  test('never crashes on noise and never takes it for a sample (fast-check, seed 20261126)', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 80 }), (bytes) => {
        const got = parseBenchLine(String.fromCharCode(...bytes));
        expect(typeof got === 'string' || got.kind === 'identity').toBe(true);
      }),
      { seed: 20261126, numRuns: 2000 },
    );
  });
});
