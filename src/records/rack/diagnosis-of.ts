import type { Diagnosis, NoDiagnosis } from '../../analysis/diagnosis/diagnosis.ts';
import { diagnoseCapture } from '../../analysis/sweep/finding.ts';
import type { CaptureHeader } from '../../signal/captures/header.ts';
import type { KeptSweep } from './kept-sweep.ts';
import type { RackBaseline } from './rack-view.ts';
import { isRigChanged, plumbingTold, type PlumbingTold } from './rig-since-baseline.ts';

/**
 * The finding of a sweep of the book, by the same analysis that a capture gets. `baseline` stands in the place of any reference that the
 * sweep was made with: it is what the tip's baseline is now.
 */
export function diagnosisOf(
  sweep: KeptSweep,
  baseline: RackBaseline | null,
  earlierFinding: string | null,
): Diagnosis | NoDiagnosis {
  const { answer, catches, header, marks } = sweep;
  const keys = keysOf(baseline, earlierFinding, plumbingTold(header));
  const question = JSON.stringify(keys);
  const found = remembered.get(sweep) ?? new Map<string, Diagnosis | NoDiagnosis>();
  remembered.set(sweep, found);
  const diagnosis = found.get(question) ?? diagnoseCapture(answer, catches, { ...header, ...keys }, marks);
  found.set(question, diagnosis);
  return diagnosis;
}

/** A sweep of the book does not change: asked the same again, it is found the same. */
const remembered = new WeakMap<KeptSweep, Map<string, Diagnosis | NoDiagnosis>>();

/** What a capture's header says of the tip's baseline (held against the rig as it is now) and of its last finding; what there is none of is left out. */
export function keysOf(
  baseline: RackBaseline | null,
  earlierFinding: string | null,
  plumbing: PlumbingTold,
): Partial<CaptureHeader> {
  return {
    ...(baseline === null
      ? {}
      : {
          referenceNozzleConstant_m3_per_s_per_sqrtPa: baseline.nozzleConstant_m3_per_s_per_sqrtPa,
          referenceRelativeStandardUncertainty: baseline.relativeStandardUncertainty,
          referenceFrom: 'baseline' as const,
          ...(isRigChanged(baseline, plumbing) ? { referenceRigChanged: true } : {}),
          ...(baseline.wand == null
            ? {}
            : {
                referenceWandRatio: baseline.wand.ratio,
                referenceWandRatioStandardUncertainty: baseline.wand.standardUncertainty,
              }),
        }),
    ...(earlierFinding === null ? {} : { earlierFinding }),
  };
}
