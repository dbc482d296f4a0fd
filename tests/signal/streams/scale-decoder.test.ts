import { describe, expect, test } from 'vitest';
import type { MassUnit, StreamEvent } from '../../../src/signal/reading.ts';
import { createDecoder, type LineDecoder } from '../../../src/signal/streams/decoder.ts';

function scale(bareUnit: MassUnit | null): LineDecoder {
  return createDecoder({ kind: 'scale', bareUnit, averagedReadings: null });
}

function feed(decoder: LineDecoder, ...lines: string[]): StreamEvent[] {
  return lines.flatMap((line, i) => decoder.decode({ arrival_s: i / 10, line, cut: false }));
}

const masses = (events: readonly StreamEvent[]) =>
  events.flatMap((event) => (event.kind === 'reading' ? [event.reading.mass_kg] : []));

describe('an ordinary scale', () => {
  test('gives kilograms, the worth of its last digit and its flags, timed by arrival', () => {
    expect(feed(scale(null), 'ST,NT,+  512.0 g')).toEqual([
      {
        kind: 'reading',
        reading: {
          time_s: 0,
          arrival_s: 0,
          device_s: null,
          mass_kg: 0.512,
          state: 'ok',
          stable: true,
          net: true,
          step_kg: 1e-4,
          pulses: null,
          edge_s: null,
          supplyFraction: null,
        },
      },
    ]);
  });

  test.each<[string, number]>([
    ['500000 mg', 0.5],
    ['500 g', 0.5],
    ['0.5 kg', 0.5],
    ['0.0005 t', 0.5],
    ['1 lb', 0.45359237],
    // 1/16 lb, arithmetic.
    ['1 oz', 0.028349523125],
  ])('%s is %d kg', (line, mass_kg) => {
    expect(masses(feed(scale(null), line))[0]).toBeCloseTo(mass_kg, 12);
  });

  test("lets a line's own unit beat what a bare number was said to mean", () => {
    expect(masses(feed(scale('g'), '500'))).toEqual([0.5]);
    expect(masses(feed(scale('g'), '500 kg'))).toEqual([500]);
  });

  test('makes no mass of a number whose unit nobody named, and counts it apart from refused lines', () => {
    const decoder = scale(null);
    expect(feed(decoder, '500', '12.5 ct')).toMatchObject([
      { kind: 'line-refused', because: 'line-unit-missing' },
      { kind: 'line-refused', because: 'line-unknown-unit' },
    ]);
    expect([decoder.linesWithoutUnit, decoder.linesRefused]).toEqual([1, 1]);
  });

  test('tells when the unit changes, before the first reading in the new one', () => {
    const events = feed(scale('g'), '500', '500 g', 'OL', '1.102 lb', '1.103 lb');
    expect(events.map(({ kind }) => kind)).toEqual([
      'reading',
      'reading',
      'reading',
      'unit-changed',
      'reading',
      'reading',
    ]);
    expect(events[3]).toEqual({ kind: 'unit-changed', at_s: 0.3, unit: 'lb' });
  });

  test.each([
    ['OL', 'over'],
    ['-----', 'wait'],
    ['_____', 'under'],
  ])('has a reading without a mass for %s: %s', (line, state) => {
    expect(feed(scale('g'), line)).toMatchObject([
      { kind: 'reading', reading: { mass_kg: null, step_kg: null, state } },
    ]);
  });

  test('counts what it refuses and the gaps it was told of', () => {
    const decoder = scale('g');
    feed(decoder, '\xf8\x00\x80', '$XXABC,1,2*47', '1 2');
    expect(decoder.decode({ arrival_s: 1, line: 'x', cut: true })).toMatchObject([
      { because: 'line-too-long' },
    ]);
    expect(decoder.gap(2, 'line-error')).toEqual([
      { kind: 'gap', at_s: 2, because: 'line-error', linesLost: null },
    ]);
    expect([decoder.linesRefused, decoder.gaps]).toEqual([4, 1]);
  });
});
