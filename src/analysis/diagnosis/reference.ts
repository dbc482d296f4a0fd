import type { Warning } from '../../base/because.ts';
import type { Reference } from './candidate-data.ts';

/** What a maker's rated flow is worth for one tip of many: relative standard uncertainty. Assumed (measurement 5.3), no source. */
export const RATING_U = 0.025;
/** A reference that came without its doubt is taken for no better than a rating. */
const UNTOLD_U = RATING_U;

export interface ReferenceFacts {
  readonly referenceNozzleConstant_m3_per_s_per_sqrtPa?: number | undefined;
  readonly referenceRelativeStandardUncertainty?: number | undefined;
  readonly referenceFrom?: 'baseline' | 'rated' | 'drawer-tip' | undefined;
  /** Of a baseline: what lies between gauge and tip is not what it was then, so the baseline lost not as much pressure. */
  readonly referenceRigChanged?: boolean | undefined;
  /** Of a baseline: pressure at the wand over the dial's, as a gauge there read then. */
  readonly referenceWandRatio?: number | undefined;
  readonly referenceWandRatioStandardUncertainty?: number | undefined;
  readonly ratedFlow_m3_per_s?: number | undefined;
  readonly ratedPressure_Pa?: number | undefined;
}

/**
 * The constant of a sound tip: what the header says of this tip, else what is stamped on it (with a warning: that is the make's, not this
 * tip's). Null without either: then no verdict can be given, for only the curve's bend could be judged and none of 2000 simulated sweeps
 * told worn from new. That a simulated sweep never becomes the baseline of a measured one is the rack's to see to.
 */
export function referenceOf(
  facts: ReferenceFacts,
): { readonly reference: Reference; readonly warnings: readonly Warning[] } | null {
  const told = facts.referenceNozzleConstant_m3_per_s_per_sqrtPa;
  if (told !== undefined && isMeant(told)) {
    const from = facts.referenceFrom ?? 'told';
    return {
      reference: {
        nozzleConstant_m3_per_s_per_sqrtPa: told,
        relativeStandardUncertainty: facts.referenceRelativeStandardUncertainty ?? UNTOLD_U,
        from,
      },
      warnings: from === 'rated' ? ['reference-from-rating'] : [],
    };
  }
  const { ratedFlow_m3_per_s: flow, ratedPressure_Pa: pressure } = facts;
  if (flow === undefined || pressure === undefined || !(flow > 0 && pressure > 0)) return null;
  if (!isMeant(flow / Math.sqrt(pressure))) return null;
  return {
    reference: {
      nozzleConstant_m3_per_s_per_sqrtPa: flow / Math.sqrt(pressure),
      relativeStandardUncertainty: RATING_U,
      from: 'rated',
    },
    warnings: ['reference-from-rating'],
  };
}

/** A pinhole gives 1e-10 m³/s per √Pa, a fire hose 1e-5; the bounds of the header's key. */
function isMeant(nozzleConstant: number): boolean {
  return nozzleConstant >= 1e-12 && nozzleConstant <= 1e-3;
}
