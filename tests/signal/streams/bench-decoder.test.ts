import { describe, expect, test } from 'vitest';
import { sealBenchSentence } from '../../../src/signal/lines/crc16.ts';
import type { Reading, StreamEvent } from '../../../src/signal/reading.ts';
import { createDecoder, type LineDecoder } from '../../../src/signal/streams/decoder.ts';
import { benchLine, type BenchLineFields } from '../../builders/bench-lines.ts';
import { arrivalsOf } from '../../builders/lateness.ts';
import { seeded } from '../../builders/seeded.ts';

const TURN_S = 4294.967296;

function board(
  changes: { pulsesPerCubicMetre?: number | null; kilogramsPerCount?: number } = {},
): LineDecoder {
  return createDecoder({
    kind: 'bench-board',
    kilogramsPerCount: 2e-6,
    countsAtZero: 1000,
    averagedReadings: null,
    pulsesPerCubicMetre: 455_000,
    meterOffset_Hz: 0,
    pressureFullScale_Pa: 1_034_214,
    ...changes,
  });
}

/** Feeds samples, each arriving 5 ms after `at_s` (its own time unless given). */
function feed(
  decoder: LineDecoder,
  ...samples: (Partial<BenchLineFields> & { at_s: number })[]
): StreamEvent[] {
  return samples.flatMap(({ at_s, ...fields }) =>
    decoder.decode({
      arrival_s: at_s + 0.005,
      line: benchLine({ seq: Math.round(at_s * 10), t_us: Math.round(at_s * 1e6), ...fields }),
      cut: false,
    }),
  );
}

function readingsOf(events: readonly StreamEvent[]): Reading[] {
  return events.flatMap((event) => (event.kind === 'reading' ? [event.reading] : []));
}

const kinds = (events: readonly StreamEvent[]) =>
  events.map((event) => (event.kind === 'gap' ? `${event.because} ${event.linesLost}` : event.kind));

describe('the bench board', () => {
  test('of a capture taken up again begins a new clock: the time between was not told to the capture', () => {
    const decoder = board();
    const before = readingsOf(feed(decoder, { at_s: 1, count: 40 }, { at_s: 1.1, count: 41 }));
    expect(kinds(decoder.gap(2, 'app-restarted'))).toEqual(['app-restarted null']);
    // The same board an hour on, heard one second later on the capture's axis.
    const line = benchLine({ seq: 11, t_us: 3_600_000_000, count: 90 });
    const [after] = readingsOf(decoder.decode({ arrival_s: 3.005, line, cut: false }));
    expect(after).toMatchObject({ time_s: 3.005, device_s: 0, pulses: before[1]!.pulses });
  });

  test('gives mass, pulses, pressure and its own time from the first sample', () => {
    const [first, second] = readingsOf(
      feed(
        board(),
        { at_s: 7, raw: 251_000, count: 4, edge_us: 6_900_000, adc: 30_720 },
        { at_s: 7.1, raw: 501_000, count: 6, edge_us: 7_080_000, adc: '' },
      ),
    );
    expect(first).toEqual({
      time_s: 7.005,
      arrival_s: 7.005,
      device_s: 0,
      mass_kg: 0.5,
      state: 'ok',
      stable: null,
      net: null,
      step_kg: null,
      pulses: 0,
      edge_s: null,
      supplyFraction: 0.46875,
    });
    expect(second).toMatchObject({ mass_kg: 1, pulses: 2, supplyFraction: null });
    expect(second!.device_s).toBeCloseTo(0.1, 9);
    expect(second!.time_s).toBeCloseTo(7.105, 9);
    expect(second!.edge_s).toBeCloseTo(7.085, 9);
  });

  test.each<[Partial<BenchLineFields>, Reading['state']]>([
    [{ raw: 8_388_607 }, 'over'],
    [{ raw: -8_388_608 }, 'over'],
    [{ raw: '', flags: '10' }, 'no-load-cell'],
    [{ raw: 5, flags: '08' }, 'wait'],
  ])('shows no mass for %j: %s', (fields, state) => {
    expect(readingsOf(feed(board(), { at_s: 1, ...fields }))).toMatchObject([{ mass_kg: null, state }]);
  });

  test('shows no mass where nobody told what a count weighs', () => {
    const [reading] = readingsOf(feed(board({ kilogramsPerCount: 0 }), { at_s: 1, raw: 5000 }));
    expect(reading).toMatchObject({ mass_kg: null, state: 'ok' });
  });

  test('has no pulses without a meter, but counts them where there are some', () => {
    const decoder = board({ pulsesPerCubicMetre: null });
    const readings = readingsOf(feed(decoder, { at_s: 1 }, { at_s: 1.1, count: 3, edge_us: 1_050_000 }));
    expect(readings.map(({ pulses }) => pulses)).toEqual([null, 3]);
  });

  test('tells how many lines were lost, before the sample that showed it', () => {
    const decoder = board();
    const events = feed(decoder, { at_s: 1, seq: 65_533 }, { at_s: 1.1, seq: 65_534 }, { at_s: 1.5, seq: 2 });
    expect(kinds(events)).toEqual(['reading', 'reading', 'lines-lost 3', 'reading']);
    expect(decoder.gaps).toBe(1);
    expect(readingsOf(events)[2]!.device_s).toBeCloseTo(0.5, 9);
  });

  test('refuses the same sample twice and a damaged one, and goes on', () => {
    const decoder = board();
    const twice = feed(decoder, { at_s: 1 }, { at_s: 1 });
    expect(twice[1]).toMatchObject({ kind: 'line-refused', because: 'line-field-wrong' });
    const damaged = benchLine({ seq: 11, t_us: 1_100_000 }).replace('S,11', 'S,12');
    expect(decoder.decode({ arrival_s: 1.1, line: damaged, cut: false })).toEqual([
      { kind: 'line-refused', at_s: 1.1, line: damaged, because: 'line-checksum-wrong' },
    ]);
    expect(kinds(feed(decoder, { at_s: 1.2 }))).toEqual(['lines-lost 1', 'reading']);
    expect(decoder.linesRefused).toBe(2);
  });

  test('keeps its time over a turn of the 32-bit clock, a pulse before the turn included', () => {
    const events = feed(
      board(),
      { at_s: TURN_S - 0.1, seq: 0, count: 1, edge_us: (TURN_S - 0.2) * 1e6 },
      { at_s: TURN_S - 0.02, seq: 1, count: 1, edge_us: (TURN_S - 0.2) * 1e6 },
      { at_s: TURN_S + 0.08, seq: 2, count: 2, edge_us: (TURN_S - 0.01) * 1e6 },
      // An edge a little later than its sample is no 71 minutes old.
      { at_s: TURN_S + 0.18, seq: 3, count: 3, edge_us: (TURN_S + 0.1805) * 1e6 },
    );
    expect(kinds(events)).toEqual(['reading', 'reading', 'reading', 'reading']);
    const readings = readingsOf(events);
    expect(readings[3]!.device_s).toBeCloseTo(0.28, 5);
    expect(readings[1]!.edge_s).toBeNull();
    expect(readings[2]!.time_s - readings[2]!.edge_s!).toBeCloseTo(0.09, 5);
    expect(readings[3]!.time_s - readings[3]!.edge_s!).toBeCloseTo(-0.0005, 5);
  });

  test('does not let an old pulse turn young when its age passes half a turn', () => {
    const decoder = board();
    const pulse = { count: 2, edge_us: 1_050_000 };
    feed(decoder, { at_s: 1, count: 1, edge_us: 500_000 }, { at_s: 1.1, ...pulse });
    let last: Reading | undefined;
    for (let at_s = 1000; at_s <= 4000; at_s += 1000) [last] = readingsOf(feed(decoder, { at_s, ...pulse }));
    expect(last!.time_s - last!.edge_s!).toBeCloseTo(4000 - 1.05, 3);
  });

  test('counts the turns that passed in a long silence', () => {
    const readings = readingsOf(feed(board(), { at_s: 1 }, { at_s: 1 + 2.5 * TURN_S }));
    expect(readings[1]!.device_s).toBeCloseTo(2.5 * TURN_S, 3);
  });

  test('that says B has restarted: a gap, then time and count from anew, pulses never backwards', () => {
    const decoder = board();
    feed(decoder, { at_s: 50, count: 7, edge_us: 49e6 }, { at_s: 50.1, count: 9, edge_us: 50.05e6 });
    const boot = decoder.decode({ arrival_s: 52, line: sealBenchSentence('B,1.0'), cut: false });
    expect(boot).toEqual([
      { kind: 'gap', at_s: 52, because: 'board-restarted', linesLost: null },
      { kind: 'board-says', at_s: 52, name: 'B', value: '1.0' },
    ]);
    const after = feed(decoder, { at_s: 52.5, seq: 0, t_us: 500_000, count: 3, edge_us: 400_000 });
    expect(kinds(after)).toEqual(['reading']);
    expect(readingsOf(after)[0]).toMatchObject({ device_s: 0, pulses: 5, edge_s: null });
    expect(decoder.gaps).toBe(1);
  });

  test('that begins with B has interrupted nothing', () => {
    const decoder = board();
    expect(kinds(decoder.decode({ arrival_s: 0, line: sealBenchSentence('B,1.0'), cut: false }))).toEqual([
      'board-says',
    ]);
    expect(decoder.gaps).toBe(0);
  });

  test.each<[string, Partial<BenchLineFields>]>([
    ['its clock goes back', { seq: 0, t_us: 300_000 }],
    ['its count goes back', { seq: 21, t_us: 200_400_000, count: 1, edge_us: 200_300_000 }],
  ])('has restarted when %s', (_, fields) => {
    const decoder = board();
    feed(decoder, { at_s: 200, count: 9, edge_us: 199e6 });
    const events = feed(decoder, { at_s: 200.4, count: 9, edge_us: 199e6, ...fields });
    expect(kinds(events)).toEqual(['board-restarted null', 'reading']);
    expect(readingsOf(events)[0]!.device_s).toBe(0);
  });

  test('has restarted, not turned its clock, when the turn would be far in the future', () => {
    const decoder = board();
    feed(decoder, { at_s: 3000 });
    expect(kinds(feed(decoder, { at_s: 3003, seq: 3, t_us: 300_000 }))).toEqual([
      'board-restarted null',
      'reading',
    ]);
  });

  test('that was lost and came back gives one gap, not two', () => {
    const decoder = board();
    feed(decoder, { at_s: 10 });
    expect(decoder.gap(11, 'device-lost')).toEqual([
      { kind: 'gap', at_s: 11, because: 'device-lost', linesLost: null },
    ]);
    decoder.decode({ arrival_s: 15, line: sealBenchSentence('B,1.0'), cut: false });
    expect(kinds(feed(decoder, { at_s: 15.4, seq: 0, t_us: 100_000 }))).toEqual(['reading']);
    expect(decoder.gaps).toBe(1);
  });

  test('goes on with its clock after bytes were lost', () => {
    const decoder = board();
    feed(decoder, { at_s: 10 });
    decoder.gap(10.5, 'bytes-lost');
    const events = feed(decoder, { at_s: 11 });
    expect(kinds(events)).toEqual(['reading']);
    expect(readingsOf(events)[0]!.device_s).toBeCloseTo(1, 9);
  });

  test('passes on what it answers', () => {
    const says = (line: string) => board().decode({ arrival_s: 1, line, cut: false });
    expect(says(sealBenchSentence('A,RATE,80'))).toMatchObject([
      { kind: 'board-says', name: 'RATE', value: '80' },
    ]);
    expect(says(sealBenchSentence('E,3'))).toMatchObject([{ name: 'E', value: '3' }]);
    expect(says('open,bench,0,1.0')).toMatchObject([{ name: '*IDN?', value: 'open,bench,0,1.0' }]);
  });

  test('refuses a line that was cut, live and from a capture', () => {
    const line = 'x'.repeat(4096);
    for (const cut of [true, false]) {
      expect(board().decode({ arrival_s: 1, line, cut })).toMatchObject([{ because: 'line-too-long' }]);
    }
  });

  test('is timed by its own clock: 0.4 % fast and 16 ms bundles leave a third of the bundling', () => {
    const made_s = Float64Array.from({ length: 4800 }, (_, i) => 1 + i / 80);
    const arrival_s = arrivalsOf(made_s, seeded(3), 0.002);
    const decoder = board();
    const readings = readingsOf(
      Array.from(arrival_s).flatMap((arrival, i) =>
        decoder.decode({
          arrival_s: arrival,
          line: benchLine({ seq: i, t_us: Math.round(made_s[i]! * 1.004e6) }),
          cut: false,
        }),
      ),
    );
    const spread = (pick: (reading: Reading) => number) => {
      const off = readings.slice(80).map((reading, i) => pick(reading) - made_s[i + 80]!);
      return Math.max(...off) - Math.min(...off);
    };
    expect(spread((reading) => reading.arrival_s)).toBeGreaterThan(0.06);
    expect(spread((reading) => reading.time_s)).toBeLessThan(0.025);
    expect(readings.every(({ time_s, arrival_s: at }) => time_s <= at)).toBe(true);
    expect(readings.every(({ time_s }, i) => i === 0 || time_s >= readings[i - 1]!.time_s)).toBe(true);
  });
});
