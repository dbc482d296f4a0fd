import { rigCheckMark } from '../../analysis/diagnosis/rig-check-mark.ts';
import type { TimedMark } from '../../analysis/sweep/marks.ts';
import { markText } from '../../signal/captures/mark.ts';
import type { BenchRecord } from '../bench-record.ts';

/**
 * The marks of a capture, and the checks of the rig that followed the sweep: those made after its end are records alone. One that stands
 * in both counts once.
 */
export function marksWithChecks(
  marks: readonly TimedMark[],
  records: readonly BenchRecord[],
): readonly TimedMark[] {
  const there = new Set(marks.map(({ mark }) => markText(mark)));
  const at_s = marks.at(-1)?.at_s ?? 0;
  const replaced = new Set(records.map(({ replaces }) => replaces));
  const later = records.flatMap((record) => {
    if (record.kind !== 'rig-check' || replaced.has(record.id)) return [];
    const mark = rigCheckMark(record.found);
    return there.has(markText(mark)) ? [] : [{ at_s, mark }];
  });
  return [...marks, ...later];
}
