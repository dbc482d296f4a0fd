/** The figures of a finding, one step deeper: how each cause fits, the gate, the reference, what the verdict hangs on. */
import type { Cause, Diagnosis } from '../contract.ts';
import { causeText, referenceWords, sizeText } from './finding.ts';
import { fixed, giveOrTake, significant } from './number.ts';
import type { ShownUnits } from './units.ts';

/** Two aicc values nearer than this can't be told apart; the study behind the rule used this figure. */
const NEAR = 4;

export interface CauseRow {
  readonly cause: string;
  readonly aicc: string;
  /** Behind the best one; "best" for that one itself. */
  readonly behind: string;
}

/** The word of the documented analysis in the finer one that stands on the page. */
function rowName(cause: Cause, diagnosis: Diagnosis): string {
  return causeText(cause === 'threshold-or-dial-high' ? 'dial-high-or-check-valve' : cause, diagnosis);
}

/** Best first. */
export function causeRows(diagnosis: Diagnosis): readonly CauseRow[] {
  const entries = Object.entries(diagnosis.finding.evidence.aicc) as [Cause, number][];
  const best = Math.min(...entries.map(([, aicc]) => aicc));
  return entries
    .sort((a, b) => a[1] - b[1])
    .map(([cause, aicc]) => ({
      cause: rowName(cause, diagnosis),
      aicc: fixed(aicc, 1),
      behind: aicc === best ? 'best' : fixed(aicc - best, 1),
    }));
}

/** Name and value, in order. */
export function findingFigures(
  diagnosis: Diagnosis,
  units: ShownUnits,
): readonly { readonly name: string; readonly value: string }[] {
  const { reference, finding, gate } = diagnosis;
  const k = reference.nozzleConstant_m3_per_s_per_sqrtPa;
  const unit = units.nozzleConstant;
  const size = sizeText(diagnosis, units);
  return [
    {
      name: 'Held against',
      value: `${referenceWords[reference.from]}: k = ${giveOrTake(unit.fromSI(k), 2 * unit.fromSI(k) * reference.relativeStandardUncertainty, unit.label)} (one standard deviation: ${significant(reference.relativeStandardUncertainty * 100, 2)} %)`,
    },
    {
      name: 'Score over “no fault shown”',
      value: `${fixed(finding.evidence.gain, 1)} points (a difference of AICc); a fault is named from ${fixed(gate, 1)} points up`,
    },
    {
      name: 'Does the named cause fit?',
      value: finding.fits ? 'yes, by the chi-square test at 1 %' : 'no, by the chi-square test at 1 %',
    },
    ...(diagnosis.said === null
      ? [{ name: 'Nearest of those we know', value: rowName(finding.cause, diagnosis) }]
      : []),
    ...(size === '' ? [] : [{ name: 'Its size', value: size }]),
    {
      name: 'If a leak grew otherwise with pressure',
      value:
        diagnosis.withOtherLeak === null
          ? 'the same is said with the power 0.5 and 1.5 in place of 1.25'
          : `with the power 0.5 or 1.5 in place of 1.25 it would read: ${rowName(diagnosis.withOtherLeak, diagnosis)}`,
    },
  ];
}

export const figuresWords = {
  title: 'The figures behind it',
  caption: `How each cause fits (AICc, smaller is better; nearer than ${NEAR}: A or B)`,
  cause: 'Cause',
  aicc: 'AICc',
  behind: 'Behind the best',
} as const;
