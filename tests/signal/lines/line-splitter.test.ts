import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { LineSplitter } from '../../../src/signal/lines/line-splitter.ts';

function bytesOf(text: string): Uint8Array {
  return Uint8Array.from(text, (character) => character.charCodeAt(0));
}

function linesOf(splitter: LineSplitter, ...chunks: string[]): string[] {
  return chunks.flatMap((text, index) =>
    splitter.push({ arrival_s: index, bytes: bytesOf(text) }).map(({ line }) => line),
  );
}

const fromStart = { startsAtLine: true };

describe('a line splitter', () => {
  test('ends lines at CR, LF, both, STX and ETX, and gives no empty lines', () => {
    expect(linesOf(new LineSplitter(fromStart), 'a\rb\nc\r\nd\n\n\x02e\x03\x02f\r')).toEqual([
      'a',
      'b',
      'c',
      'd',
      'e',
      'f',
    ]);
  });

  test('ends lines at the same characters with a parity bit on top', () => {
    expect(linesOf(new LineSplitter(fromStart), 'a\x8db\x8ac\x82d\x83')).toEqual(['a', 'b', 'c', 'd']);
  });

  test('drops what comes before the first end, for it may be half a line', () => {
    const splitter = new LineSplitter();
    expect(linesOf(splitter, '12.0 g\r', '\n512.0 g\r\n')).toEqual(['512.0 g']);
    expect(splitter.bytesDropped).toBe(6);
  });

  test('stamps a line with the arrival of the chunk that held its end', () => {
    const splitter = new LineSplitter(fromStart);
    expect(splitter.push({ arrival_s: 1, bytes: bytesOf('51') })).toEqual([]);
    expect(splitter.push({ arrival_s: 1.25, bytes: bytesOf('2 g\r') })).toEqual([
      { arrival_s: 1.25, line: '512 g', cut: false },
    ]);
    expect(splitter.push({ arrival_s: 1.5, bytes: bytesOf('\n') })).toEqual([]);
  });

  test('never lets arrival go back', () => {
    const splitter = new LineSplitter(fromStart);
    splitter.push({ arrival_s: 5, bytes: bytesOf('a\n') });
    expect(splitter.push({ arrival_s: 4, bytes: bytesOf('b\n') })[0]?.arrival_s).toBe(5);
  });

  test('cuts a line over 4 KiB, says so and counts it', () => {
    const splitter = new LineSplitter(fromStart);
    const [first, second, ...rest] = splitter.push({
      arrival_s: 0,
      bytes: bytesOf(`${'x'.repeat(4097)}\n${'y'.repeat(4096)}\n`),
    });
    expect(first).toEqual({ arrival_s: 0, line: 'x'.repeat(4096), cut: true });
    expect(second).toEqual({ arrival_s: 0, line: 'y'.repeat(4096), cut: false });
    expect(rest).toEqual([]);
    expect([splitter.linesCut, splitter.bytesDropped]).toEqual([1, 1]);
  });

  test('holds no more than the cap of a noise that never ends a line', () => {
    const splitter = new LineSplitter({ ...fromStart, maxLength: 16 });
    for (let at = 0; at < 1000; at += 1) splitter.push({ arrival_s: at, bytes: bytesOf('z'.repeat(100)) });
    const [line] = splitter.push({ arrival_s: 1000, bytes: bytesOf('\n') });
    expect(line?.line).toBe('z'.repeat(16));
    expect(splitter.bytesDropped).toBe(100_000 - 16);
  });

  test('after a gap forgets the line in progress and waits for the next end', () => {
    const splitter = new LineSplitter(fromStart);
    linesOf(splitter, '500 g\n51');
    splitter.drop();
    expect(linesOf(splitter, '3 g\n514 g\n')).toEqual(['514 g']);
    expect(splitter.bytesDropped).toBe(2 + 3);
  });

  test('keeps all 256 byte values apart from the ends', () => {
    const others = Array.from({ length: 256 }, (_, byte) => byte).filter(
      (b) => ![2, 3, 10, 13].includes(b & 0x7f),
    );
    const text = String.fromCharCode(...others);
    expect(linesOf(new LineSplitter(fromStart), `${text}\n`)).toEqual([text]);
  });

  test('gives the same lines however the bytes are cut into chunks (fast-check, seed 20261125)', () => {
    const byte = fc.oneof(
      { weight: 4, arbitrary: fc.integer({ min: 0x20, max: 0x7e }) },
      { weight: 2, arbitrary: fc.constantFrom(0x0a, 0x0d, 0x02, 0x03, 0x8d) },
      { weight: 1, arbitrary: fc.integer({ min: 0, max: 255 }) },
    );
    fc.assert(
      fc.property(
        fc.array(fc.array(byte, { maxLength: 40 }), { maxLength: 12 }),
        fc.boolean(),
        (chunks, startsAtLine) => {
          const options = { startsAtLine, maxLength: 20 };
          const whole = new LineSplitter(options);
          const pieces = new LineSplitter(options);
          const expected = whole.push({ arrival_s: 0, bytes: Uint8Array.from(chunks.flat()) });
          const got = chunks.flatMap((chunk) => pieces.push({ arrival_s: 0, bytes: Uint8Array.from(chunk) }));
          expect(got).toEqual(expected);
          expect([pieces.linesCut, pieces.bytesDropped]).toEqual([whole.linesCut, whole.bytesDropped]);
        },
      ),
      { seed: 20261125, numRuns: 2000 },
    );
  });
});
