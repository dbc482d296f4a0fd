import type { Reading } from '../../signal/reading.ts';
import { readingsFromColumns, type ReadingColumns } from './reading-columns.ts';

/**
 * Packed columns of the catches of one sweep, in any order → its readings once each, in order of time. Windows kept around
 * neighbouring catches overlap, so the same reading may come twice; between windows that don't meet lies a gap.
 * What the raw lines no longer tell (between catches, refused lines) is not in it.
 *
 * `gapBefore`: rows whose reading is not continuous with the one before. The first row of all is never among them, unless a
 * gap was packed there.
 */
export function mergeColumns(windows: readonly ReadingColumns[]): {
  readonly readings: readonly Reading[];
  readonly gapBefore: readonly number[];
} {
  const readings: Reading[] = [];
  const gapBefore: number[] = [];
  const inOrder = windows
    .map(readingsFromColumns)
    .filter((window) => window.readings.length > 0)
    .sort((a, b) => a.readings[0]!.time_s - b.readings[0]!.time_s);
  for (const window of inOrder) {
    const last_s = readings.at(-1)?.time_s ?? -Infinity;
    // Rows up to the last one taken are the same readings again: windows are cut from one stream.
    const from = window.readings.findIndex((reading) => reading.time_s > last_s);
    if (from < 0) continue;
    const apart = from === 0 && readings.length > 0;
    const first = readings.length;
    if (apart) gapBefore.push(first);
    for (const row of window.gapBefore) {
      if (row >= from && !(apart && row === from)) gapBefore.push(first + row - from);
    }
    // One by one: a spread of a long catch could overrun the stack.
    for (const reading of window.readings.slice(from)) readings.push(reading);
  }
  return { readings, gapBefore };
}
