import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { sealBenchSentence } from '../../../src/signal/lines/crc16.ts';
import { LineSplitter } from '../../../src/signal/lines/line-splitter.ts';
import type { InstrumentDescription, StreamEvent } from '../../../src/signal/reading.ts';
import { createDecoder } from '../../../src/signal/streams/decoder.ts';
import { seeded } from '../../builders/seeded.ts';
import { benchLine, bytesOf } from '../../builders/bench-lines.ts';

const board: InstrumentDescription = {
  kind: 'bench-board',
  kilogramsPerCount: 1e-6,
  countsAtZero: 0,
  averagedReadings: null,
  pulsesPerCubicMetre: 455_000,
  meterOffset_Hz: 0,
  pressureFullScale_Pa: null,
};
const scale: InstrumentDescription = { kind: 'scale', bareUnit: 'g', averagedReadings: null };
const scaleThatNamesItsUnit: InstrumentDescription = { ...scale, bareUnit: null };

/** All at one arrival: what is left to differ is the cutting alone. */
function eventsOf(description: InstrumentDescription, chunks: readonly Uint8Array[]): StreamEvent[] {
  const splitter = new LineSplitter();
  const decoder = createDecoder(description);
  return chunks.flatMap((bytes) =>
    splitter.push({ arrival_s: 1, bytes }).flatMap((raw) => decoder.decode(raw)),
  );
}

function cut(bytes: Uint8Array, places: readonly number[]): Uint8Array[] {
  const borders = [0, ...places.map((place) => place % (bytes.length + 1)), bytes.length].sort(
    (a, b) => a - b,
  );
  return borders.slice(1).map((end, i) => bytes.slice(borders[i], end));
}

const noise = fc.uint8Array({ maxLength: 12 }).map((bytes) => String.fromCharCode(...bytes));
const ends = fc.constantFrom('\r\n', '\n', '\r');

function streamOf(line: fc.Arbitrary<string>) {
  const part = fc.tuple(fc.oneof({ weight: 6, arbitrary: line }, { weight: 1, arbitrary: noise }), ends);
  return fc
    .array(part, { maxLength: 20 })
    .map((parts) => bytesOf(parts.map((pair) => pair.join('')).join('')));
}

const benchLines = fc.oneof(
  {
    weight: 8,
    arbitrary: fc
      .integer({ min: 0, max: 200 })
      .map((i) => benchLine({ seq: i, t_us: i * 12_500, raw: i, count: i, edge_us: i * 12_000 })),
  },
  { weight: 1, arbitrary: fc.constant(sealBenchSentence('B,1.0')) },
);
const scaleLines = fc.constantFrom(
  '  512.0 g',
  'ST,GS,+ 1.25 kg',
  '-----',
  'OL',
  '12,5',
  '1.2 lb ?',
  '\x02 7.0 g\x03',
);

describe('bytes to readings', () => {
  test.each([
    ['a bench board', board, benchLines],
    ['a scale', scale, scaleLines],
  ] as const)(
    'of %s are the same however the bytes are cut into chunks (fast-check, seed 20261127)',
    (_, description, lines) => {
      fc.assert(
        fc.property(streamOf(lines), fc.array(fc.nat(2000), { maxLength: 30 }), (bytes, places) => {
          const whole = eventsOf(description, [bytes]);
          expect(eventsOf(description, cut(bytes, places))).toEqual(whole);
          expect(
            eventsOf(
              description,
              Array.from(bytes, (byte) => Uint8Array.of(byte)),
            ),
          ).toEqual(whole);
        }),
        { seed: 20261127, numRuns: 500 },
      );
    },
  );

  test('the same stream as single bytes does give readings (the property is not about nothing)', () => {
    const text = `half a line\r\n${Array.from({ length: 5 }, (_, i) => benchLine({ seq: i, t_us: i * 12_500 })).join('\r\n')}\r\n`;
    const events = eventsOf(
      board,
      Array.from(bytesOf(text), (byte) => Uint8Array.of(byte)),
    );
    expect(events.map(({ kind }) => kind)).toEqual(Array(5).fill('reading'));
  });

  test('noise of a wrong baud rate is refused line by line and gives no reading (20 000 seeded bytes)', () => {
    const random = seeded(1);
    const bytes = Uint8Array.from({ length: 20_000 }, () => 256 * random());
    for (const description of [board, scaleThatNamesItsUnit]) {
      const events = eventsOf(description, [bytes]);
      expect(events.length).toBeGreaterThan(100);
      expect(events.filter(({ kind }) => kind !== 'line-refused')).toEqual([]);
    }
    // Where a bare number is allowed a line of one or two bytes can look like one: why a scale is recognised by several
    // lines of one shape before it is believed.
    const believed = eventsOf(scale, [bytes]).filter(({ kind }) => kind === 'reading');
    expect(believed.length / eventsOf(scale, [bytes]).length).toBeLessThan(0.02);
  });
});
