import type { Absence, Because, Warning } from '../../base/because.ts';
import { absences } from '../../base/because.ts';
import { ok } from '../../base/outcome.ts';
import type { Outcome } from '../../base/outcome.ts';
import { buildPicture } from '../curve/build-picture.ts';
import { compareWithRated } from '../curve/compare-with-rated.ts';
import type { CurveInput, CurvePoint, SettingProtocol } from '../curve/curve-point.ts';
import { fitNozzleCurve } from '../curve/nozzle-curve.ts';
import { ownUncertainty } from '../flow/catch-uncertainty.ts';
import type { AnalysedCatch, CurvePicture } from './analysis.ts';
import { recogniseSettings } from './recognise-settings.ts';

/** What a dial is worth if nobody says: 1.5 psi. */
export const ASSUMED_SETTING_U_Pa = 10342;
/** What a ratiometric pressure sensor is worth: ±0.5 % of full scale, rectangular. Assumed; no source. */
export const SENSOR_HALF_RANGE_OF_FULL_SCALE = 0.005;

export interface CurveQuestion {
  readonly protocol: SettingProtocol;
  readonly settingStandardUncertainty_Pa: number;
  readonly pressureFullScale_Pa: number | null;
  readonly ratedFlow_m3_per_s: number | null;
  readonly ratedPressure_Pa: number | null;
  /** Why there may be no catch at all, where it is known. */
  readonly noCatchesBecause: Absence;
}

export interface CurveAnswer {
  readonly picture: CurvePicture | null;
  readonly because: Absence | null;
  readonly warnings: readonly Warning[];
}

/** The curve through every catch that has a flow and a setting and was not struck. */
export function analyseCurve(catches: readonly AnalysedCatch[], question: CurveQuestion): CurveAnswer {
  const good = catches.flatMap((c, index) =>
    !c.struck && c.voidBecause === null && c.flow_m3_per_s !== null ? [{ c, index }] : [],
  );
  const announced = good.filter(({ c }) => c.setting_Pa !== null);
  const recognised = announced.length === 0 ? byPressure(good, question) : null;
  if (recognised !== null && !recognised.ok)
    return { picture: null, because: asAbsence(recognised.because), warnings: [] };
  const used = recognised?.value ?? announced;
  if (used.length === 0) {
    return {
      picture: null,
      because: good.length === 0 ? question.noCatchesBecause : 'no-settings',
      warnings: [],
    };
  }
  const seen = used.filter(({ c }) => c.pressure_Pa !== null && c.pressure_Pa > 0).length;
  const pressureMeasured = seen === used.length;
  const warnings: Warning[] = !pressureMeasured && seen > 0 ? ['sensor-not-used'] : [];
  const input: CurveInput = {
    points: used.map(({ c }) => pointOf(c, pressureMeasured)),
    protocol: question.protocol,
    settingStandardUncertainty_Pa:
      pressureMeasured && question.pressureFullScale_Pa !== null
        ? (SENSOR_HALF_RANGE_OF_FULL_SCALE * question.pressureFullScale_Pa) / Math.sqrt(3)
        : question.settingStandardUncertainty_Pa,
    pressureMeasured,
  };
  const indices = used.map(({ index }) => index);
  const curve = fitNozzleCurve(input);
  if (!curve.ok) return { picture: null, because: asAbsence(curve.because), warnings };
  const rated = compareWithRated(curve.value, question);
  return {
    picture: buildPicture(input, curve.value, indices, rated),
    because: null,
    warnings: [...warnings, ...curve.value.warnings],
  };
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

function pointOf(c: AnalysedCatch, pressureMeasured: boolean): CurvePoint {
  const flow = c.flow_m3_per_s!;
  const own = ownUncertainty({
    typeA_m3_per_s: c.typeA_m3_per_s!,
    typeADegreesOfFreedom: c.typeADegreesOfFreedom!,
    jetAllowance_m3_per_s: c.jetAllowance_m3_per_s!,
    ownTypeB_m3_per_s: c.ownTypeB_m3_per_s!,
    sharedTypeB_m3_per_s: 0,
  });
  return {
    pressure_Pa: pressureMeasured ? c.pressure_Pa! : c.setting_Pa!,
    setting_Pa: c.setting_Pa!,
    flow_m3_per_s: flow,
    // A catch without any scatter (arithmetic, not water) must not weigh infinitely.
    ownStandardUncertainty_m3_per_s: Math.max(own.standardUncertainty, 1e-9 * flow),
    ownDegreesOfFreedom: own.degreesOfFreedom,
    sharedRelativeStandardUncertainty: c.sharedTypeB_m3_per_s! / flow,
  };
}

/** Why a fit was refused, as the reason for a number that is not there. */
export function asAbsence(because: Because): Absence {
  return absences.find((absence) => absence === because) ?? 'fit-did-not-settle';
}
