import type { Absence, Warning } from '../../base/because.ts';
import { meanAndDeviation } from '../../base/statistics/mean-and-deviation.ts';
import type { NozzleCurve } from '../../analysis/curve/nozzle-curve.ts';
import type { KeptSweep } from './kept-sweep.ts';
import type { RackBaseline } from './rack-view.ts';
import { rigOfBaseline } from './rig-since-baseline.ts';

/** Sweeps of a new tip belong to one baseline so long; one later begins a new baseline (a new tip under an old name). Judgement. */
const ONE_BASELINE_ms = 28 * 24 * 3600 * 1000;

export type FoundBaseline =
  | {
      /** Oldest first; each has a flow that counts. */
      readonly sweeps: readonly KeptSweep[];
      readonly because: null;
      readonly warnings: readonly Warning[];
    }
  | { readonly sweeps: null; readonly because: Absence; readonly warnings: readonly Warning[] };

/**
 * Which sweeps are a tip's baseline on one rig: those that the person named, else those made with "this tip is new" within four weeks; one
 * made later begins a new baseline. A sweep without a flow that counts (void, all struck out) can't be one.
 * @param sweeps of the tip on this rig, any order. @param named null: nobody chose.
 * Because: `no-baseline`; `baseline-void` when none of them has a flow.
 */
export function baselineOf(sweeps: readonly KeptSweep[], named: readonly string[] | null): FoundBaseline {
  const meant = (
    named === null ? newestNewTip(sweeps) : sweeps.filter(({ sweepId }) => named.includes(sweepId))
  ).toSorted((a, b) => a.at_ms - b.at_ms);
  const usable = meant.filter(({ flows }) => flows !== null);
  if (usable.length === 0)
    return { sweeps: null, because: meant.length === 0 ? 'no-baseline' : 'baseline-void', warnings: [] };
  return {
    sweeps: usable,
    because: null,
    warnings: usable.length < meant.length ? ['baseline-sweep-unusable'] : [],
  };
}

function newestNewTip(sweeps: readonly KeptSweep[]): readonly KeptSweep[] {
  const ofNewTip = sweeps
    .filter(({ setup }) => setup.occasion === 'new-tip')
    .toSorted((a, b) => a.at_ms - b.at_ms);
  let group: KeptSweep[] = [];
  for (const sweep of ofNewTip) {
    if (group[0] !== undefined && sweep.at_ms - group[0].at_ms > ONE_BASELINE_ms) group = [];
    group.push(sweep);
  }
  return group;
}

/**
 * The constant of a baseline: geometric mean over its sweeps. Its doubt: that of the mean by what the sweeps say of themselves, or by how
 * they differ where that is larger; and once what all of them share (water, scale), which cancels only on one day with one instrument
 * and so is left in. Null where no sweep has a curve.
 */
export function referenceOfBaseline(sweeps: readonly KeptSweep[], rigName: string): RackBaseline | null {
  const parts = constantOfBaseline(sweeps);
  if (parts === null) return null;
  return {
    nozzleConstant_m3_per_s_per_sqrtPa: parts.nozzleConstant_m3_per_s_per_sqrtPa,
    relativeStandardUncertainty: Math.hypot(parts.own, parts.shared),
    sweepIds: sweeps.map(({ sweepId }) => sweepId),
    at_ms: sweeps.reduce((sum, { at_ms }) => sum + at_ms, 0) / sweeps.length,
    rigName,
    ...rigOfBaseline(sweeps),
  };
}

/** The same with its doubts kept apart: relative standard uncertainties of its own, and of what its sweeps share. */
export function constantOfBaseline(sweeps: readonly KeptSweep[]): {
  readonly nozzleConstant_m3_per_s_per_sqrtPa: number;
  readonly own: number;
  readonly shared: number;
} | null {
  const curves = sweeps.flatMap(({ answer }) => answer.fitted?.curve ?? []);
  if (curves.length === 0) return null;
  const logs = curves.map((curve) => Math.log(curve.nozzleConstant_m3_per_s_per_sqrtPa));
  const { mean, standardUncertaintyOfMean } = meanAndDeviation(logs);
  const own = Math.hypot(...curves.map(ownRelative)) / curves.length;
  return {
    nozzleConstant_m3_per_s_per_sqrtPa: Math.exp(mean),
    own: Math.max(own, standardUncertaintyOfMean ?? 0),
    shared: Math.max(...curves.map(sharedRelative)),
  };
}

function ownRelative(curve: NozzleCurve): number {
  return (
    curve.nozzleConstantOwnStandardUncertainty_m3_per_s_per_sqrtPa / curve.nozzleConstant_m3_per_s_per_sqrtPa
  );
}

/** Flow's shared part and, of a sensor, what its offset and gain do to k. */
function sharedRelative(curve: NozzleCurve): number {
  return Math.hypot(
    curve.sharedRelativeStandardUncertainty,
    curve.offsetSensitivity_per_Pa * curve.pressureSharedStandardUncertainty_Pa,
  );
}
