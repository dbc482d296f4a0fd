import type { Warning } from '../../base/because.ts';
import type { NozzleCurve } from '../curve/nozzle-curve.ts';
import { candidateData, LEAK_EXPONENT } from './candidate-data.ts';
import type { CandidateData } from './candidate-data.ts';
import { fitLeak, flowOf } from './candidate-fit.ts';
import { fitCandidates } from './candidates.ts';
import type { Fits } from './candidates.ts';
import { curveMarks } from './curve-marks.ts';
import { asEarlier } from './diagnosis.ts';
import type { Cause, Diagnosis, NoDiagnosis } from './diagnosis.ts';
import { isSagShown, type Plumbing, type RigCheckFound } from './evidence.ts';
import { constantExpected, soundRig } from './evidence-penalty.ts';
import { faultSize } from './fault-size.ts';
import { doubtsRestOn, gateOf, LEAST_SETTINGS, SCALE_PAYS } from './gate.ts';
import { flowLost } from './flow-lost.ts';
import { referenceOf } from './reference.ts';
import type { ReferenceFacts } from './reference.ts';
import { settlingTests } from './settling-tests.ts';
import { newestOfKind } from './newest-of-kind.ts';
import { OTHER_TIP } from './other-tip.ts';
import { judge } from './verdict.ts';
import { wandRatio } from './wand-ratio.ts';
import type { Judging, Verdict } from './verdict.ts';

/** Fewest catches: one at each setting. */
const LEAST_CATCHES = LEAST_SETTINGS;
/** Published leaks (IWA, CCWI 2017): turbulent ones with a fixed and with a growing opening. The gate uses 1.25. */
const OTHER_LEAKS = [1.5, 0.5] as const;

export interface DiagnosisInput {
  readonly curve: NozzleCurve | null;
  /** Of the curve's picture: where the named cause's curve is wanted. */
  readonly pressures_Pa: readonly number[];
  readonly reference: ReferenceFacts;
  readonly checks: readonly RigCheckFound[];
  readonly plumbing: Pick<Plumbing, 'gaugeAt' | 'hoseLength_m' | 'hoseBore_m' | 'tipAboveGauge_m'>;
  /** A sensor that was held against a known pressure. */
  readonly sensorChecked: boolean;
  readonly scaleChecked: boolean;
  /** Flows from a flow meter; null: from a scale or a pail. */
  readonly meter: MeterDoubt | null;
  /** One catch stands apart from all others (`judged-curve.ts`): to be looked at and struck, or repeated. */
  readonly standsApart?: boolean;
  /** What the last sweep of this tip on this rig was said to show. */
  readonly earlierFinding: string | null;
}

export interface MeterDoubt {
  /** Its two parameters were checked, and every flow lies in the range of that check (measurement 11.12). */
  readonly shapeTrusted: boolean;
  /** What an offset that nobody looked for may add to every flow; 0 where the shape is trusted. */
  readonly offsetStandardUncertainty_m3_per_s: number;
}

/**
 * What a curve says of its tip and its rig: the best single explanation of the catches (measurement 5.3), how sure, how large, where it
 * shows, and what would settle it. Pure and quick: about half a millisecond for 15 catches.
 * No diagnosis: `no-curve`; `no-reference` (never a verdict without one); `too-few-settings` under 5 settings;
 * `fit-did-not-settle` with a reference beyond all sense.
 */
export function diagnose(input: DiagnosisInput): Diagnosis | NoDiagnosis {
  const { curve, checks } = input;
  if (curve === null) return { because: 'no-curve', settledBy: ['more-catches'] };
  const known = referenceOf(input.reference);
  if (known === null) return { because: 'no-reference', settledBy: ['stamp-or-baseline'] };
  if (curve.settings < LEAST_SETTINGS || curve.catches < LEAST_CATCHES)
    return { because: 'too-few-settings', settledBy: ['more-catches'] };

  const shapeTrusted = input.meter?.shapeTrusted ?? true;
  const data = candidateData({
    curve,
    reference: known.reference,
    checks,
    sensorChecked: input.sensorChecked,
    tipAboveGauge_m: input.plumbing.tipAboveGauge_m,
    flowZeroStandardUncertainty_m3_per_s: input.meter?.offsetStandardUncertainty_m3_per_s ?? 0,
    leakExponent: LEAK_EXPONENT,
    shapeTrusted,
  });
  const degreesOfFreedom = doubtsRestOn(curve);
  const judging: Judging = { gate: gateOf(degreesOfFreedom), degreesOfFreedom };
  const fits = fitCandidates(data);
  if (fits === null) return { because: 'fit-did-not-settle', settledBy: ['stamp-or-baseline'] };
  const verdict = judge(data, fits, judging);
  const { finding } = verdict;
  const fit = fits[verdict.candidate];
  const isFault = finding.cause !== 'no fault shown';
  const { referenceRigChanged, referenceWandRatio, referenceWandRatioStandardUncertainty } = input.reference;
  const lost = flowLost(input.plumbing, data, known.reference, {
    rigChanged: referenceRigChanged === true,
    then:
      referenceWandRatio === undefined
        ? null
        : { ratio: referenceWandRatio, standardUncertainty: referenceWandRatioStandardUncertainty ?? 0 },
    now: wandRatio(checks),
  });
  // Two misfits in a row are one finding too, whichever cause came nearest.
  const isFinding = isFault || !finding.fits;
  const foundTwice = isFinding && input.earlierFinding === asEarlier(finding);
  const warnings: Warning[] = [...known.warnings];
  if (referenceRigChanged === true && known.reference.from === 'baseline')
    warnings.push('rig-changed-since-baseline');
  if (!shapeTrusted) warnings.push('meter-not-checked');
  const standsApart = input.standsApart ?? false;
  if (standsApart) warnings.push('stands-apart');
  const farOff = isFarOff(data, fits, verdict);
  if (farOff) warnings.push('far-from-reference');
  if (newestOfKind(checks).some(isSagShown)) warnings.push('pressure-sags');
  return {
    finding,
    said: verdict.said,
    orElse: verdict.orElse,
    reference: known.reference,
    gate: judging.gate,
    smallestChangeNamed: Math.sqrt(judging.gate + SCALE_PAYS) * changeDoubt(data, fits),
    ...(curve.pressureMeasured ? { pressureMeasured: true as const } : {}),
    size: faultSize(data, finding.cause, fit, degreesOfFreedom),
    modelFlow_m3_per_s: isFault
      ? input.pressures_Pa.map(
          (p) => flowOf(fit, p / data.pressureUnit_Pa, data.leakExponent) * data.flowUnit_m3_per_s,
        )
      : [],
    marks: curveMarks(data, finding, fit, fits['no fault shown']),
    settledBy: settlingTests({
      cause: finding.cause,
      said: verdict.said,
      orElse: finding.orElse,
      foundTwice,
      pressureMayBeLost: lost.mayBeLost,
      fromRating: known.reference.from === 'rated',
      shapeTrusted,
      farOff,
      standsApart,
      scaleChecked: input.scaleChecked,
      pressureMeasured: curve.pressureMeasured,
      made: checks.map(({ kind }) => kind),
    }),
    standing: foundTwice ? 'found-twice' : isFinding ? 'look-again' : 'nothing-found',
    flowLostBeforeTip: lost.flowLostBeforeTip,
    pressureMayBeLost: lost.mayBeLost,
    withOtherLeak: withOtherLeak(data, fits, judging, verdict),
    warnings,
  };
}

export function isDiagnosis(answer: Diagnosis | NoDiagnosis | null): answer is Diagnosis {
  return answer !== null && 'finding' in answer;
}

/** The whole curve so far from the reference that it may be another tip's, or the typed figure wrong; nothing else explains it. */
function isFarOff(data: CandidateData, { worn, restricted }: Fits, { finding }: Verdict): boolean {
  const scales = [finding.cause, finding.orElse].some((cause) => cause === 'worn' || cause === 'restricted');
  const { constant } = worn.atBoundary ? restricted : worn;
  const { mean } = constantExpected(data, soundRig).datum;
  return (scales || !finding.fits) && Math.abs(constant / mean - 1) > OTHER_TIP;
}

/** Relative standard uncertainty of k over the reference. */
function changeDoubt(data: CandidateData, { worn, restricted }: Fits): number {
  const scale = worn.atBoundary ? restricted : worn;
  const { mean, standardUncertainty } = constantExpected(data, soundRig).datum;
  return Math.hypot(scale.sizeStandardUncertainty / scale.constant, standardUncertainty / mean);
}

/** The other cause that a leak with another exponent would have named; only the leak's own fit changes. */
function withOtherLeak(data: CandidateData, fits: Fits, judging: Judging, verdict: Verdict): Cause | null {
  if (!data.shapeTrusted) return null;
  for (const leakExponent of OTHER_LEAKS) {
    const other = { ...data, leakExponent };
    const leaking = fitLeak(other, fits['no fault shown']);
    const { cause } = judge(other, { ...fits, leaking }, judging).finding;
    if (cause !== verdict.finding.cause) return cause;
  }
  return null;
}
