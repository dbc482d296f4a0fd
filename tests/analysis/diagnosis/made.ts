import { diagnose, isDiagnosis } from '../../../src/analysis/diagnosis/diagnose.ts';
import type { DiagnosisInput } from '../../../src/analysis/diagnosis/diagnose.ts';
import type { Diagnosis } from '../../../src/analysis/diagnosis/diagnosis.ts';
import type { MadeSweep } from '../../benchmarks/findings-parts/made-findings.ts';

/** All that a made sweep tells, with its reference as a baseline of this rig unless told otherwise. */
export function inputOf(made: MadeSweep, u: number, more: Partial<DiagnosisInput> = {}): DiagnosisInput {
  return {
    curve: made.curve,
    pressures_Pa: [],
    reference: {
      referenceNozzleConstant_m3_per_s_per_sqrtPa: made.referenceConstant,
      referenceRelativeStandardUncertainty: u,
      referenceFrom: 'baseline',
    },
    checks: made.checks,
    plumbing: { gaugeAt: null, hoseLength_m: null, hoseBore_m: null, tipAboveGauge_m: null },
    sensorChecked: false,
    scaleChecked: true,
    meter: null,
    earlierFinding: null,
    ...more,
  };
}

export function diagnosed(input: DiagnosisInput): Diagnosis {
  const answer = diagnose(input);
  if (!isDiagnosis(answer)) throw new Error(answer.because);
  return answer;
}
