import type { RigCheckFound } from '../../analysis/diagnosis/evidence.ts';
import type { TimedMark } from '../../analysis/sweep/marks.ts';
import { markText, type CaptureMark } from '../../signal/captures/mark.ts';
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
    const mark = markOf(record.found);
    return there.has(markText(mark)) ? [] : [{ at_s, mark }];
  });
  return [...marks, ...later];
}

function markOf(found: RigCheckFound): CaptureMark {
  const { kind: check } = found;
  switch (check) {
    case 'dial-at-zero':
    case 'flow-stops-at':
      return {
        kind: 'rig-check',
        check,
        value: found.shown_Pa,
        standardUncertainty: found.standardUncertainty_Pa,
        at_Pa: null,
      };
    case 'blank-tip':
      return {
        kind: 'rig-check',
        check,
        value: found.leak_m3_per_s,
        standardUncertainty: found.standardUncertainty_m3_per_s,
        at_Pa: found.pressure_Pa,
      };
    case 'wand-gauge':
      return {
        kind: 'rig-check',
        check,
        value: found.wand_Pa,
        standardUncertainty: found.standardUncertainty_Pa,
        at_Pa: found.setting_Pa,
      };
  }
}
