import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { mergeColumns } from '../../src/records/columns/merge-columns.ts';
import { columnsFromReadings } from '../../src/records/columns/reading-columns.ts';
import type { Reading } from '../../src/signal/reading.ts';

const SEED = 20261125;

const stream: readonly Reading[] = Array.from({ length: 60 }, (_, row) => ({
  time_s: row / 10,
  arrival_s: row / 10,
  device_s: null,
  mass_kg: row / 1000,
  state: 'ok',
  stable: null,
  net: null,
  step_kg: 0.001,
  pulses: null,
  edge_s: null,
  supplyFraction: null,
}));

/** The readings from row `from` up to, not including, row `to`. */
function window(from: number, to: number, gapBefore: readonly number[] = []) {
  return columnsFromReadings(
    stream.slice(from, to),
    gapBefore.map((row) => row - from),
  );
}

describe('columns of neighbouring catches', () => {
  it('that overlap give every reading once and no gap', () => {
    expect(mergeColumns([window(0, 20), window(10, 40)])).toEqual({
      readings: stream.slice(0, 40),
      gapBefore: [],
    });
  });

  it('that do not meet have a gap between them', () => {
    expect(mergeColumns([window(30, 40), window(0, 20)])).toEqual({
      readings: [...stream.slice(0, 20), ...stream.slice(30, 40)],
      gapBefore: [20],
    });
  });

  it('keep the gaps that were packed with them, told once', () => {
    expect(mergeColumns([window(0, 20, [15]), window(10, 30, [15, 25])]).gapBefore).toEqual([15, 25]);
    expect(mergeColumns([window(0, 10), window(20, 30, [20])]).gapBefore).toEqual([10]);
  });

  it('one within the other add nothing; none at all are no readings', () => {
    expect(mergeColumns([window(0, 30), window(5, 10)]).readings).toEqual(stream.slice(0, 30));
    expect(mergeColumns([window(0, 0)])).toEqual({ readings: [], gapBefore: [] });
    expect(mergeColumns([])).toEqual({ readings: [], gapBefore: [] });
  });

  it(`give the readings covered by any of them, in order, whatever the windows (seed ${SEED})`, () => {
    const someWindow = fc
      .tuple(fc.nat(60), fc.nat(60))
      .map(([a, b]) => [Math.min(a, b), Math.max(a, b)] as const);
    fc.assert(
      fc.property(fc.array(someWindow, { maxLength: 6 }), (windows) => {
        const merged = mergeColumns(windows.map(([from, to]) => window(from, to)));
        const covered = stream.filter((_, row) => windows.some(([from, to]) => row >= from && row < to));
        expect(merged.readings).toEqual(covered);
      }),
      { seed: SEED, numRuns: 500 },
    );
  });
});
