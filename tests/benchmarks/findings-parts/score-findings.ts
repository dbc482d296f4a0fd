import { diagnose, isDiagnosis } from '../../../src/analysis/diagnosis/diagnose.ts';
import type { DiagnosisInput } from '../../../src/analysis/diagnosis/diagnose.ts';
import type { Cause, Diagnosis, FinerCause } from '../../../src/analysis/diagnosis/diagnosis.ts';
import { Random } from '../../../src/simulation/random.ts';
import { madeSweep } from './made-findings.ts';
import type { Design, MadeSweep, Truth } from './made-findings.ts';

/** A truth with the word that is right for it, as fine as a rig check could tell it. */
export interface NamedTruth extends Truth {
  readonly right: FinerCause;
}

export const sound: NamedTruth = { name: 'ok', right: 'no fault shown' };
export const faults: readonly NamedTruth[] = [
  { name: 'worn 5', right: 'worn', factor: [1.05, 1.05] },
  { name: 'worn 10', right: 'worn', factor: [1.1, 1.1] },
  { name: 'worn 15', right: 'worn', factor: [1.15, 1.15] },
  { name: 'blocked 10', right: 'restricted', factor: [0.9, 0.9] },
  { name: 'leak 3-10 % at 60 psi', right: 'leaking', leakShare: [0.03, 0.1] },
  { name: 'cap at 50 psi', right: 'pump-limited', cap_psi: 50 },
  { name: 'check valve 5-15 psi', right: 'check-valve', threshold_psi: [5, 15] },
  { name: 'dial +4 psi', right: 'dial-high', dialOffset_psi: 4 },
  { name: 'dial -4 psi', right: 'dial-low', dialOffset_psi: -4 },
];

/** Per cent of the sweeps. `right` to `noFault` add up to 100; what does not fit is counted again, as it was named. */
export interface Score {
  readonly truth: string;
  readonly sweeps: number;
  /** By the seven documented causes, as the study counts: alone; in "A or B"; another fault; no fault shown. */
  readonly right: number;
  readonly rightInAOrB: number;
  readonly wrong: number;
  readonly noFault: number;
  /** Named so finely that a dial that reads high and a check valve are two; alone, fitting, nothing beside it. */
  readonly finelyRight: number;
  /** The named cause fails the fit test: "none of the causes we know". */
  readonly doesNotFit: number;
  /** The repeats scatter more than was stated: the sweep carries that warning. */
  readonly repeatsWorse: number;
  readonly causes: Readonly<Partial<Record<Cause, number>>>;
  /** Of the gain, 95, 99 and 99.9 %. */
  readonly gainQuantiles: readonly [number, number, number];
}

export function inputFor(design: Design, made: MadeSweep): DiagnosisInput {
  return {
    curve: made.curve,
    pressures_Pa: [],
    reference: {
      referenceNozzleConstant_m3_per_s_per_sqrtPa: made.referenceConstant,
      referenceRelativeStandardUncertainty: design.reference,
      referenceFrom: design.checks?.includes('wand-gauge') === true ? 'drawer-tip' : 'baseline',
    },
    checks: made.checks,
    plumbing: { gaugeAt: null, hoseLength_m: null, hoseBore_m: null, tipAboveGauge_m: null },
    sensorChecked: design.sensor !== undefined,
    scaleChecked: true,
    meter: null,
    earlierFinding: null,
  };
}

export function diagnosisOf(design: Design, made: MadeSweep): Diagnosis {
  const answer = diagnose(inputFor(design, made));
  if (!isDiagnosis(answer)) throw new Error(answer.because);
  return answer;
}

export function score(design: Design, truth: NamedTruth, sweeps: number, seed: number): Score {
  const random = new Random(seed).stream(`${design.name} ${truth.name}`);
  let worse = 0;
  const found = Array.from({ length: sweeps }, () => {
    const made = madeSweep(design, truth, random);
    if (made.curve.warnings.includes('dial-repeats-worse-than-stated')) worse++;
    return diagnosisOf(design, made);
  });
  return scored(truth, found, (100 * worse) / sweeps);
}

export function scored(truth: NamedTruth, found: readonly Diagnosis[], repeatsWorse = NaN): Score {
  const n = found.length;
  const right = documentedWord(truth.right);
  const share = (holds: (one: Diagnosis) => boolean): number => (100 * found.filter(holds).length) / n;
  const named = (one: Diagnosis): boolean => one.finding.cause === right;
  const beside = (one: Diagnosis): boolean => one.finding.orElse === right;
  const isFault = (one: Diagnosis): boolean => one.finding.cause !== 'no fault shown';
  const causes: Partial<Record<Cause, number>> = {};
  for (const { finding } of found) causes[finding.cause] = (causes[finding.cause] ?? 0) + 100 / n;
  const gains = found.map(({ finding }) => finding.evidence.gain).sort((a, b) => a - b);
  const quantile = (p: number): number => gains[Math.min(n - 1, Math.floor(p * n))] ?? NaN;
  return {
    truth: truth.name,
    sweeps: n,
    right: share((one) => named(one) && one.finding.orElse === null),
    rightInAOrB: share((one) => (named(one) && one.finding.orElse !== null) || beside(one)),
    wrong: share((one) => isFault(one) && !named(one) && !beside(one)),
    noFault: right === 'no fault shown' ? 0 : share((one) => !isFault(one)),
    finelyRight: share((one) => one.said === truth.right && one.orElse === null),
    doesNotFit: share((one) => !one.finding.fits),
    repeatsWorse,
    causes,
    gainQuantiles: [quantile(0.95), quantile(0.99), quantile(0.999)],
  };
}

/** The documented word for a finer one. */
export function documentedWord(cause: FinerCause): Cause {
  return cause === 'dial-high' || cause === 'check-valve' || cause === 'dial-high-or-check-valve'
    ? 'threshold-or-dial-high'
    : cause;
}

export type Means = Readonly<
  Record<'right' | 'rightInAOrB' | 'wrong' | 'noFault' | 'finelyRight' | 'doesNotFit', number>
>;

/** Faults averaged, each truth counting alike. */
export function means(scores: readonly Score[]): Means {
  const of = (pick: (one: Score) => number): number =>
    scores.reduce((sum, one) => sum + pick(one), 0) / scores.length;
  return {
    right: of((one) => one.right),
    rightInAOrB: of((one) => one.rightInAOrB),
    wrong: of((one) => one.wrong),
    noFault: of((one) => one.noFault),
    finelyRight: of((one) => one.finelyRight),
    doesNotFit: of((one) => one.doesNotFit),
  };
}
