import { isAboveRating } from '../../src/planning/above-rating.ts';
import type { RigSetup } from '../contract.ts';
import { fieldErrors } from '../wording/fields.ts';
import { plain } from '../wording/number.ts';
import type { ShownUnit, ShownUnits } from '../wording/units.ts';
import type { Checker } from './setup-check.ts'; // type only: no circle at run time
import type { SetupFieldName, SetupFields } from './setup-fields.ts';

/** Judgement, no source: longer, wider or higher than any small sprayer's, so a slipped unit is caught. */
const HOSE_M = { low: 0, high: 500 };
const BORE_M = { low: 2e-3, high: 0.08 };
const HEIGHT_M = { low: -50, high: 50 };
const RATING_PA = { low: 5e4, high: 5e6 };

/** What lies between gauge and tip, as far as it was told; null when nothing was. */
export function checkPlumbing(
  fields: SetupFields,
  units: ShownUnits,
  checker: Checker,
): RigSetup['plumbing'] {
  const told = (
    field: Extract<SetupFieldName, 'hoseLength' | 'hoseBore' | 'tipHeight' | 'weakestRating'>,
    unit: ShownUnit,
    range: { readonly low: number; readonly high: number },
  ): number | null => (fields[field].trim() === '' ? null : checker.ranged(field, unit, range));
  const plumbing = {
    gaugeAt: fields.gaugeAt === 'not-told' ? null : fields.gaugeAt,
    hoseLength_m: told('hoseLength', units.length, HOSE_M),
    hoseBore_m: told('hoseBore', units.bore, BORE_M),
    tipAboveGauge_m: told('tipHeight', units.length, HEIGHT_M),
    weakestRating_Pa: told('weakestRating', units.pressure, RATING_PA),
  };
  return Object.values(plumbing).every((one) => one === null) ? null : plumbing;
}

/** Says at the settings that one is above the rating that was told; the session refuses it too (src/session/plan.ts). */
export function checkRating(
  settings_Pa: readonly number[],
  plumbing: RigSetup['plumbing'],
  { pressure }: ShownUnits,
  checker: Checker,
): void {
  const rating_Pa = plumbing?.weakestRating_Pa ?? null;
  const highest_Pa = Math.max(...settings_Pa);
  if (rating_Pa === null || !isAboveRating(highest_Pa, rating_Pa)) return;
  const say = (value_Pa: number): string => `${plain(pressure.fromSI(value_Pa))} ${pressure.label}`;
  checker.fail('settings', fieldErrors.aboveRating(say(highest_Pa), say(rating_Pa)));
}
