import type { Diagnosis, NoDiagnosis } from '../../analysis/diagnosis/diagnosis.ts';
import type { KeptSweep } from './kept-sweep.ts';
import type { RackBaseline } from './rack-view.ts';

export function diagnosisOf(
  _sweep: KeptSweep,
  _baseline: RackBaseline | null,
  _earlierFinding: string | null,
): Diagnosis | NoDiagnosis {
  return { because: 'not-yet-supported', settledBy: [] };
}
