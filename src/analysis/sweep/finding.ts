import type { Absence } from '../../base/because.ts';
import type { CaptureHeader } from '../../signal/captures/header.ts';
import { isScaleChecked } from '../budget/scale-factor.ts';
import { UNTOLD_OFFSET_HZ } from '../budget/meter-parts.ts';
import type { CurveInput } from '../curve/curve-point.ts';
import { diagnose, isDiagnosis } from '../diagnosis/diagnose.ts';
import type { MeterDoubt } from '../diagnosis/diagnose.ts';
import { dialAgainstSensor, withDial } from '../diagnosis/dial-against-sensor.ts';
import type { Diagnosis, DialAgainstSensor, Finding, NoDiagnosis } from '../diagnosis/diagnosis.ts';
import { judgedCurve } from '../diagnosis/judged-curve.ts';
import { rigCheckOfMark } from '../diagnosis/rig-check-mark.ts';
import { rigFacts } from '../rigs/rig-facts.ts';
import { ASSUMED_SETTING_U_Pa } from './analyse-curve.ts';
import type { CurveAnswer } from './analyse-curve.ts';
import type { AnalysedCatch } from './analysis.ts';
import type { TimedMark } from './marks.ts';

/** `finding` and `findingBecause` as the documented analysis has them. */
export function documentedFinding(answer: Diagnosis | NoDiagnosis): {
  readonly finding: Finding | null;
  readonly findingBecause: Absence | null;
} {
  return isDiagnosis(answer)
    ? { finding: answer.finding, findingBecause: null }
    : { finding: null, findingBecause: answer.because };
}

/** What a capture's curve says of its tip and its rig, with what its header and its marks know of them. */
export function diagnoseCapture(
  { picture, fitted }: CurveAnswer,
  catches: readonly AnalysedCatch[],
  about: CaptureHeader,
  marks: readonly TimedMark[],
): Diagnosis | NoDiagnosis {
  const checks = marks.flatMap(({ mark }) => (mark.kind === 'rig-check' ? (rigCheckOfMark(mark) ?? []) : []));
  const used = (fitted?.catches ?? []).flatMap((index) => catches[index] ?? []);
  const judged = fitted === null ? null : judgedCurve(fitted.input, fitted.curve);
  const answer = diagnose({
    curve: judged?.curve ?? null,
    pressures_Pa: picture?.pressures_Pa ?? [],
    reference: about,
    checks,
    plumbing: {
      gaugeAt: about.gaugeAt ?? null,
      hoseLength_m: about.hoseLength_m ?? null,
      hoseBore_m: about.hoseBore_m ?? null,
      tipAboveGauge_m: about.tipAboveGauge_m ?? null,
    },
    sensorChecked: about.pressureStandardUncertainty_Pa !== undefined,
    scaleChecked: isScaleChecked(about) || marks.some(({ mark }) => mark.kind === 'scale-check'),
    meter: used.some(({ flowFrom }) => flowFrom === 'pulses') ? meterDoubt(about, used) : null,
    standsApart: judged?.standsApart ?? false,
    earlierFinding: about.earlierFinding ?? null,
  });
  if (!isDiagnosis(answer) || fitted === null) return answer;
  const dial = setAgainstRead(fitted.input, used, about);
  return withDial(answer, dial, about.earlierFinding ?? null, picture?.pressures_Pa ?? []);
}

/** Null without a sensor, where a setting was not announced, and where the pressure falls by itself (a can pumped up). */
function setAgainstRead(
  { pressureMeasured, protocol, pressureSharedStandardUncertainty_Pa = 0 }: CurveInput,
  used: readonly AnalysedCatch[],
  about: CaptureHeader,
): DialAgainstSensor | null {
  const catches = used.flatMap(({ setting_Pa, pressure_Pa }) =>
    setting_Pa === null || pressure_Pa === null ? [] : [{ setting_Pa, pressure_Pa }],
  );
  if (!pressureMeasured || catches.length < used.length || rigFacts(about)?.kind === 'pumped-up') return null;
  return dialAgainstSensor({
    catches,
    protocol,
    dialStandardUncertainty_Pa: about.settingStandardUncertainty_Pa ?? ASSUMED_SETTING_U_Pa,
    sensorStandardUncertainty_Pa: pressureSharedStandardUncertainty_Pa,
  });
}

/** A tenth beyond the highest flow of its check a meter is still taken at its word, as in the warning for it. */
const ALLOWED_ABOVE = 1.1;

/**
 * Measurement 11.12: one factor on a meter with an offset of 0.5 Hz makes every healthy sweep look like a shift or a leak. So without the
 * check of both parameters, in the range of the flows, nothing that rests on the curve's shape is named, and the height of the curve
 * carries the offset that may be there. An offset told without any range (a capture from elsewhere) says that the check was made: it is
 * taken as made over the flows of the sweep. Where a range is told it holds, and one with an end missing covers nothing.
 */
function meterDoubt(about: CaptureHeader, used: readonly AnalysedCatch[]): MeterDoubt {
  const { meterOffset_Hz, meterLowestFlow_m3_per_s: lowest, meterHighestFlow_m3_per_s: highest } = about;
  const untold = lowest === undefined && highest === undefined;
  const inRange = used.every(
    ({ flow_m3_per_s: flow }) =>
      flow === null || (flow >= (lowest ?? Infinity) && flow <= ALLOWED_ABOVE * (highest ?? 0)),
  );
  const shapeTrusted = meterOffset_Hz !== undefined && (untold || inRange);
  const perHertz = 1e-3 / (about.pulsesPerLitre ?? Infinity);
  return {
    shapeTrusted,
    offsetStandardUncertainty_m3_per_s: shapeTrusted ? 0 : (UNTOLD_OFFSET_HZ / Math.sqrt(3)) * perHertz,
  };
}
