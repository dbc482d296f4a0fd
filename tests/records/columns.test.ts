import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodeColumn, encodeColumn, encodings } from '../../src/records/columns/encode-column.ts';
import { packColumns, unpackColumns } from '../../src/records/columns/pack-columns.ts';
import { columnsFromReadings, readingsFromColumns } from '../../src/records/columns/reading-columns.ts';
import type { Reading } from '../../src/signal/reading.ts';

const SEED = 20261125;

function bits(values: Float64Array): bigint[] {
  return [...new BigUint64Array(values.slice().buffer)];
}

function thereAndBack(values: Float64Array): Float64Array | null {
  const { encoding, decimals, bytes } = encodeColumn(values);
  return decodeColumn(encoding, decimals, bytes, values.length);
}

const decimalNumber = fc
  .tuple(fc.integer({ min: -1_000_000, max: 1_000_000 }), fc.integer({ min: 0, max: 9 }))
  .map(([whole, decimals]) => whole / 10 ** decimals);
const anyNumber = fc.oneof(fc.double(), decimalNumber, fc.integer(), fc.constant(-0), fc.constant(NaN));

describe('a packed column', () => {
  it(`gives every double back bit for bit (seed ${SEED})`, () => {
    fc.assert(
      fc.property(fc.oneof(fc.array(anyNumber), fc.array(decimalNumber), fc.array(fc.integer())), (list) => {
        const values = Float64Array.from(list);
        const back = thereAndBack(values);
        expect(back).not.toBeNull();
        // All NaN are null here, so one bit pattern of NaN is as good as another.
        expect(bits(back!.map(oneNaN))).toEqual(bits(values.map(oneNaN)));
      }),
      { seed: SEED, numRuns: 3000 },
    );
  });

  it.each([
    ['nothing but nulls', [NaN, NaN, NaN], encodings.absent, 0],
    ['always the same number', [0.1, 0.1, 0.1], encodings.constant, 8],
    ['times with four decimals, 0.1 s apart', [0.1, 0.2031, 0.3], encodings.steps16, 8 + 2 * 2],
    ['a mass shown in steps of a gram', [0.512, 0.513, 0.512], encodings.steps8, 8 + 2],
    ['pulses with a wide jump', [0, 100_000, 100_003], encodings.steps32, 8 + 2 * 4],
    ['a null between numbers', [1, NaN, 2], encodings.doubles, 24],
    ['numbers that are no decimals', [Math.PI, Math.E, Math.SQRT2], encodings.doubles, 24],
  ])('of %s takes the smallest room that loses nothing', (_what, list, encoding, size_bytes) => {
    const encoded = encodeColumn(Float64Array.from(list));
    expect(encoded.encoding).toBe(encoding);
    expect(encoded.bytes.length).toBe(size_bytes);
  });
});

const orNull = <T>(some: fc.Arbitrary<T>) => fc.option(some, { nil: null });
const finite = fc.double({ noNaN: true, noDefaultInfinity: true });
const aReading: fc.Arbitrary<Reading> = fc.record(
  {
    time_s: finite,
    arrival_s: finite,
    device_s: orNull(finite),
    mass_kg: orNull(finite),
    state: fc.constantFrom('ok', 'over', 'under', 'wait', 'no-load-cell'),
    stable: orNull(fc.boolean()),
    net: orNull(fc.boolean()),
    step_kg: orNull(finite),
    pulses: orNull(fc.nat()),
    edge_s: orNull(finite),
    supplyFraction: orNull(finite),
  },
  { noNullPrototype: true },
);

describe('packed readings', () => {
  it(`come back as they were, with the gaps between them (seed ${SEED})`, () => {
    fc.assert(
      fc.property(fc.array(aReading, { maxLength: 40 }), fc.nat(39), (readings, gap) => {
        const gapBefore = gap < readings.length ? [gap] : [];
        const unpacked = unpackColumns(packColumns(columnsFromReadings(readings, gapBefore)));
        expect(unpacked.ok).toBe(true);
        if (unpacked.ok) {
          expect(readingsFromColumns(unpacked.value)).toStrictEqual({ readings, gapBefore });
        }
      }),
      { seed: SEED, numRuns: 500 },
    );
  });

  it('are laid out as FORMATS.md says, byte by byte', () => {
    const reading: Reading = {
      time_s: 1.5,
      arrival_s: 1.5,
      device_s: null,
      mass_kg: 0.25,
      state: 'under',
      stable: false,
      net: true,
      step_kg: null,
      pulses: null,
      edge_s: null,
      supplyFraction: null,
    };
    const later = { ...reading, mass_kg: 0.375 };
    const packed = new Uint8Array(packColumns(columnsFromReadings([reading, later], [1])));
    const head = [0x43, 0x42, 0x52, 0x43, 1, 0, 8, 0, 2, 0, 0, 0];
    const entries = [
      [0, 1, 0, 0, 8, 0, 0, 0],
      [1, 1, 0, 0, 8, 0, 0, 0],
      [2, 0, 0, 0, 0, 0, 0, 0],
      [3, 2, 3, 0, 9, 0, 0, 0],
      [4, 0, 0, 0, 0, 0, 0, 0],
      [5, 0, 0, 0, 0, 0, 0, 0],
      [6, 0, 0, 0, 0, 0, 0, 0],
      [7, 0, 0, 0, 0, 0, 0, 0],
    ];
    const oneAndAHalf = [0, 0, 0, 0, 0, 0, 0xf8, 0x3f];
    // 250 as a double (0x406F400000000000), then +125 in one byte.
    const mass = [0, 0, 0, 0, 0, 0x40, 0x6f, 0x40, 125];
    // under = 2, not stable = 1 << 3, net = 2 << 5; the second with a gap before it.
    const flags = [0x4a, 0xca];
    expect([...packed]).toEqual([
      ...head,
      ...entries.flat(),
      ...oneAndAHalf,
      ...oneAndAHalf,
      ...mass,
      ...flags,
    ]);
  });

  it('of a newer layout are refused with both numbers', () => {
    const packed = packColumns(columnsFromReadings([]));
    new DataView(packed).setUint16(4, 9, true);
    expect(unpackColumns(packed)).toEqual({
      ok: false,
      because: 'storage-newer',
      facts: { found_version: 9, known_version: 1 },
    });
  });

  it(`that were cut anywhere are refused, never half read (seed ${SEED})`, () => {
    const readings = fc.sample(aReading, { seed: SEED, numRuns: 5 });
    const whole = packColumns(columnsFromReadings(readings));
    for (let size = 0; size < whole.byteLength; size += 1) {
      expect(unpackColumns(whole.slice(0, size)).ok).toBe(false);
    }
  });

  it(`with bytes changed never throw (seed ${SEED})`, () => {
    const whole = packColumns(columnsFromReadings(fc.sample(aReading, { seed: SEED, numRuns: 5 })));
    const change = fc.tuple(fc.nat(whole.byteLength - 1), fc.nat(255));
    fc.assert(
      fc.property(fc.array(change, { minLength: 1, maxLength: 6 }), (changes) => {
        const damaged = new Uint8Array(whole.slice(0));
        for (const [at, byte] of changes) damaged[at] = byte;
        const unpacked = unpackColumns(damaged.buffer);
        if (unpacked.ok) expect(unpacked.value.time_s.length).toBe(unpacked.value.flags.length);
      }),
      { seed: SEED, numRuns: 2000 },
    );
  });
});

function oneNaN(value: number): number {
  return Number.isNaN(value) ? NaN : value;
}
