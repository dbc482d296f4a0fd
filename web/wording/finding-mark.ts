/** What stands beside the mark of a finding on its curve, and the sentence for those who do not see it. */
import type { Diagnosis } from '../contract.ts';
import { fixed, significant } from './number.ts';
import { pressureText } from './prompts.ts';
import type { ShownUnits } from './units.ts';

export interface FindingToDraw {
  readonly diagnosis: Diagnosis;
  /** Pressures at which the model's flows stand. */
  readonly pressures_Pa: readonly number[];
  /** Beside each mark. */
  readonly labels: readonly string[];
  /** Name of the reference's own curve; empty: it is drawn already (the rated one). */
  readonly referenceLabel: string;
}

type Mark = Diagnosis['marks'][number];

function percent(mark: Mark): string {
  const share = mark.flow_m3_per_s / mark.expectedFlow_m3_per_s - 1;
  return `${fixed(Math.abs(share) * 100, Math.abs(share) < 0.0295 ? 1 : 0)} % ${share < 0 ? 'under' : 'over'}`;
}

/** "9 % over", "flat from here up", "as at 4 psi less" */
function markLabel(mark: Mark, diagnosis: Diagnosis, units: ShownUnits): string {
  const { said, orElse, size } = diagnosis;
  const alone = orElse === null || orElse === said;
  if (said === 'pump-limited' && alone) return 'flat from here up';
  if (said === 'leaking' && alone) return 'ever more from here up';
  if (said === null) return `farthest off: ${percent(mark)}`;
  if (alone && size?.of === 'offset_Pa')
    return `as at ${significant(units.pressure.fromSI(Math.abs(size.value)), 2)} ${units.pressure.label} ${said === 'dial-low' ? 'more' : 'less'}`;
  // A bracket along the axis says nothing without where it reaches.
  const reach = { 'from-here-up': ' from here up', 'from-here-down': ' from here down' } as const;
  return `${percent(mark)}${mark.kind in reach ? reach[mark.kind as keyof typeof reach] : ''}`;
}

const referenceLabels: Readonly<Record<Diagnosis['reference']['from'], string>> = {
  baseline: 'baseline',
  // The rated curve is drawn dotted already.
  rated: '',
  'drawer-tip': 'tip from the drawer',
  told: 'reference',
};

/** @param pressures_Pa those of the curve's picture, at which the model's flows stand. */
export function findingToDraw(
  diagnosis: Diagnosis,
  pressures_Pa: readonly number[],
  units: ShownUnits,
): FindingToDraw {
  return {
    diagnosis,
    pressures_Pa,
    labels: diagnosis.marks.map((mark) => markLabel(mark, diagnosis, units)),
    referenceLabel: referenceLabels[diagnosis.reference.from],
  };
}

/** "Marked at 40 psi: 9 % over." Empty when nothing is marked. */
export function markSentence(diagnosis: Diagnosis, units: ShownUnits): string {
  return diagnosis.marks
    .map((mark) => {
      const at = pressureText(mark.pressure_Pa, units);
      const label = markLabel(mark, diagnosis, units);
      return ` Marked at ${at}: ${label}.`;
    })
    .join('');
}

/** The reference's and the model's flows that the picture has to hold. */
export function flowsOfFinding(
  diagnosis: Diagnosis,
  pressures_Pa: readonly number[],
  settings_Pa: readonly number[],
): readonly number[] {
  const k = diagnosis.reference.nozzleConstant_m3_per_s_per_sqrtPa;
  const from = Math.min(...settings_Pa);
  const to = Math.max(...settings_Pa);
  const inside = pressures_Pa.flatMap((pressure, index) =>
    pressure >= from && pressure <= to ? (diagnosis.modelFlow_m3_per_s[index] ?? []) : [],
  );
  return [
    ...diagnosis.marks.flatMap((mark) => [mark.flow_m3_per_s, mark.expectedFlow_m3_per_s]),
    ...(settings_Pa.length === 0 ? [] : [k * Math.sqrt(from), k * Math.sqrt(to)]),
    ...inside,
  ];
}
