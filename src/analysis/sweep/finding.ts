import type { Absence } from '../../base/because.ts';
import type { CaptureHeader } from '../../signal/captures/header.ts';
import type { AnalysedCatch, AnalysedCurve } from './analysis.ts';

/** The gate that tells a fault from chance was calibrated on five settings of three catches (measurement study, section 10). */
export const FEWEST_SETTINGS_FOR_FINDING = 5;
export const FEWEST_CATCHES_FOR_FINDING = 12;

/** Why no verdict is given, the first reason that holds. Naming a cause is a capability still to come. */
export function findingBecause(
  curve: AnalysedCurve | null,
  catches: readonly AnalysedCatch[],
  about: CaptureHeader,
): Absence {
  if (curve === null) return 'no-curve';
  const hasRating = about.ratedFlow_m3_per_s !== undefined && about.ratedPressure_Pa !== undefined;
  if (about.referenceNozzleConstant_m3_per_s_per_sqrtPa === undefined && !hasRating) return 'no-reference';
  const settings = new Set(curve.used.map((index) => catches[index]?.setting_Pa));
  const few = settings.size < FEWEST_SETTINGS_FOR_FINDING || curve.used.length < FEWEST_CATCHES_FOR_FINDING;
  return few ? 'too-few-settings' : 'not-yet-supported';
}
