import type { Absence, Because, Warning } from '../../base/because.ts';
import { absences } from '../../base/because.ts';
import { ok } from '../../base/outcome.ts';
import type { Outcome } from '../../base/outcome.ts';
import { buildPicture } from '../curve/build-picture.ts';
import type { SharedPart } from '../budget/budget.ts';
import { relativeOf } from '../budget/budget.ts';
import { sharedDegreesOfFreedom } from '../budget/shared-degrees.ts';
import { compareWithRated } from '../curve/compare-with-rated.ts';
import type { CurveInput, CurvePoint, SettingProtocol } from '../curve/curve-point.ts';
import { tellsOffset, withoutDialOffset, type DialZero } from '../curve/dial-zero.ts';
import { fitNozzleCurve } from '../curve/nozzle-curve.ts';
import type { NozzleCurve } from '../curve/nozzle-curve.ts';
import { MOST_DEGREES_OF_FREEDOM } from '../flow/catch-uncertainty.ts';
import { combineUncertainty } from '../../base/statistics/welch-satterthwaite.ts';
import type { AnalysedCatch, CurvePicture, RatedComparison } from './analysis.ts';
import type { CatchPressure } from './catch-pressure.ts';
import { recogniseSettings } from './recognise-settings.ts';

/** What a dial is worth if nobody says: 1.5 psi. */
export const ASSUMED_SETTING_U_Pa = 10342;
/** What a ratiometric pressure sensor is worth: ±0.5 % of full scale, rectangular. Assumed; no source. */
export const SENSOR_HALF_RANGE_OF_FULL_SCALE = 0.005;

export interface CurveQuestion {
  readonly protocol: SettingProtocol;
  readonly settingStandardUncertainty_Pa: number;
  readonly pressureFullScale_Pa: number | null;
  /** From a two-point check of the sensor; null: none was made, and the assumption above holds. */
  readonly pressureStandardUncertainty_Pa?: number | null;
  readonly ratedFlow_m3_per_s: number | null;
  readonly ratedPressure_Pa: number | null;
  /** The dial read at no pressure (the last time); left out: nobody did. */
  readonly dialZero?: DialZero | null;
  /** Why there may be no catch at all, where it is known. */
  readonly noCatchesBecause: Absence;
  /** Beside the catches: what a sensor read in them, and what they share. */
  readonly pressures?: readonly (CatchPressure | null)[];
  readonly sharedOf?: (thisCatch: AnalysedCatch) => readonly SharedPart[];
}

export interface CurveAnswer {
  readonly picture: CurvePicture | null;
  readonly because: Absence | null;
  readonly warnings: readonly Warning[];
  readonly fitted: FittedCurve | null;
}

/** The fit as its budget needs it. */
export interface FittedCurve {
  /** What was fitted. */
  readonly input: CurveInput;
  readonly curve: NozzleCurve;
  /** Place among the catches of each point that went in. */
  readonly catches: readonly number[];
  /** What those catches share. */
  readonly shared: readonly SharedPart[];
  /** What the dial's offset was found from, where the comparison with the rating was put right by it. */
  readonly dialZero?: DialZero;
}

/** The curve through every catch that has a flow and a setting and was not struck. */
export function analyseCurve(catches: readonly AnalysedCatch[], question: CurveQuestion): CurveAnswer {
  const good = catches.flatMap((c, index) =>
    !c.struck && c.voidBecause === null && c.flow_m3_per_s !== null ? [{ c, index }] : [],
  );
  const announced = good.filter(({ c }) => c.setting_Pa !== null);
  const recognised = announced.length === 0 ? byPressure(good, question) : null;
  if (recognised !== null && !recognised.ok)
    return {
      picture: null,
      because: asAbsence(recognised.because),
      warnings: [],
      fitted: null,
    };
  const used = recognised?.value ?? announced;
  if (used.length === 0) {
    return {
      picture: null,
      because: good.length === 0 ? question.noCatchesBecause : 'no-settings',
      warnings: [],
      fitted: null,
    };
  }
  const seen = used.filter(({ c }) => c.pressure_Pa !== null && c.pressure_Pa > 0).length;
  const pressureMeasured = seen === used.length;
  const warnings: Warning[] = !pressureMeasured && seen > 0 ? ['sensor-not-used'] : [];
  const sensor_Pa =
    pressureMeasured && question.pressureFullScale_Pa !== null
      ? (question.pressureStandardUncertainty_Pa ??
        (SENSOR_HALF_RANGE_OF_FULL_SCALE * question.pressureFullScale_Pa) / Math.sqrt(3))
      : null;
  const shared = sharedOf(used, question);
  const input: CurveInput = {
    points: used.map(({ c, index }) =>
      pointOf(c, pressureMeasured ? { seen: question.pressures?.[index] ?? null } : null),
    ),
    protocol: question.protocol,
    settingStandardUncertainty_Pa: sensor_Pa ?? question.settingStandardUncertainty_Pa,
    pressureSharedStandardUncertainty_Pa: sensor_Pa ?? 0,
    sharedDegreesOfFreedom: sharedDegreesOfFreedom(shared),
    pressureMeasured,
  };
  const indices = used.map(({ index }) => index);
  const curve = fitNozzleCurve(input);
  if (!curve.ok) {
    return { picture: null, because: asAbsence(curve.because), warnings, fitted: null };
  }
  const { rated, dialZero } = ratedAtTruePressure(input, curve.value, question);
  const picture = buildPicture(input, curve.value, indices, rated);
  const read = pressureMeasured ? null : (question.dialZero ?? null);
  return {
    picture: read === null ? picture : { ...picture, dialZero: { ...read, corrected: dialZero !== null } },
    because: null,
    warnings: [...warnings, ...curve.value.warnings],
    fitted: {
      input,
      curve: curve.value,
      catches: indices,
      shared,
      ...(dialZero === null ? {} : { dialZero }),
    },
  };
}

/**
 * Rule 11.4: the curve stays at the marks of this dial; percent of rated needs true pressures. A dial that was read at no pressure gives
 * its offset: taken off, and only the doubt of that reading is left of the doubt all settings share.
 */
function ratedAtTruePressure(
  input: CurveInput,
  curve: NozzleCurve,
  question: CurveQuestion,
): { readonly rated: Outcome<RatedComparison>; readonly dialZero: DialZero | null } {
  const { dialZero = null } = question;
  const right = dialZero === null || !tellsOffset(dialZero) ? null : withoutDialOffset(input, dialZero);
  const corrected = right === null ? null : fitNozzleCurve(right);
  if (dialZero === null || corrected === null || !corrected.ok)
    return { rated: compareWithRated(curve, question), dialZero: null };
  const sharedOffsetStandardUncertainty_Pa = dialZero.standardUncertainty_Pa;
  const rated = compareWithRated(corrected.value, question, { sharedOffsetStandardUncertainty_Pa });
  return { rated, dialZero };
}

/** Those of the used catch that shares most: the curve takes the largest, too. */
function sharedOf(
  used: readonly { readonly c: AnalysedCatch }[],
  question: CurveQuestion,
): readonly SharedPart[] {
  return used.reduce<readonly SharedPart[]>((largest, { c }) => {
    const parts = question.sharedOf?.(c) ?? [];
    return relativeOf(parts) > relativeOf(largest) ? parts : largest;
  }, []);
}

interface Good {
  readonly c: AnalysedCatch;
  readonly index: number;
}

/**
 * Nobody announced a setting, but a sensor read the pressure of every catch: then it says which of them were of one setting. The
 * analysis goes on printing no setting for them, for none was announced. Null where some catch has no pressure.
 */
function byPressure(good: readonly Good[], question: CurveQuestion): Outcome<readonly Good[]> | null {
  const pressures = good.map(({ c }) => c.pressure_Pa ?? 0);
  if (good.length === 0 || !pressures.every((pressure) => pressure > 0)) return null;
  const settings = recogniseSettings(pressures, question.settingStandardUncertainty_Pa);
  if (!settings.ok) return settings;
  return ok(good.map(({ c, index }, i) => ({ c: { ...c, setting_Pa: settings.value[i]! }, index })));
}

/** `pressure`: where the curve stands on measured pressures, what the sensor read in this catch. */
function pointOf(c: AnalysedCatch, pressure: { readonly seen: CatchPressure | null } | null): CurvePoint {
  const flow = c.flow_m3_per_s!;
  // As `ownUncertainty` has it, without the t that only a printed ± needs: a rack of tips fits thousands of catches.
  const own = combineUncertainty([
    { standardUncertainty: c.typeA_m3_per_s!, degreesOfFreedom: c.typeADegreesOfFreedom! },
    { standardUncertainty: c.jetAllowance_m3_per_s!, degreesOfFreedom: Infinity },
    { standardUncertainty: c.ownTypeB_m3_per_s!, degreesOfFreedom: Infinity },
  ]);
  const wander = pressure?.seen ?? null;
  return {
    pressure_Pa: pressure === null ? c.setting_Pa! : c.pressure_Pa!,
    setting_Pa: c.setting_Pa!,
    flow_m3_per_s: flow,
    // A catch without any scatter (arithmetic, not water) must not weigh infinitely.
    ownStandardUncertainty_m3_per_s: Math.max(own.standardUncertainty, 1e-9 * flow),
    ownDegreesOfFreedom: Math.min(MOST_DEGREES_OF_FREEDOM, own.degreesOfFreedom),
    estimated: {
      standardUncertainty_m3_per_s: c.typeA_m3_per_s!,
      degreesOfFreedom: c.typeADegreesOfFreedom!,
    },
    ...(wander?.standardUncertainty_Pa == null || wander.degreesOfFreedom === null
      ? {}
      : {
          pressureStandardUncertainty_Pa: wander.standardUncertainty_Pa,
          pressureDegreesOfFreedom: wander.degreesOfFreedom,
        }),
    seenInRepeats_m3_per_s: c.jetAllowance_m3_per_s!,
    sharedRelativeStandardUncertainty: c.sharedTypeB_m3_per_s! / flow,
  };
}

/** Why a fit was refused, as the reason for a number that is not there. */
export function asAbsence(because: Because): Absence {
  return absences.find((absence) => absence === because) ?? 'fit-did-not-settle';
}
