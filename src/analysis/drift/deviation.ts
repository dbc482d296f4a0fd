import { tQuantile } from '../../base/statistics/distributions.ts';
import { combineUncertainty, type UncertaintyPart } from '../../base/statistics/welch-satterthwaite.ts';
import { flowNotShared, type SharedOfFlow } from '../comparison/not-shared.ts';

/** Mean flow of the catches at one setting. */
export interface SettingFlow {
  readonly setting_Pa: number;
  readonly flow_m3_per_s: number;
  /** Of that mean, own parts with what a re-set knob adds; nothing that all catches of the sweep share. */
  readonly ownRelativeStandardUncertainty: number;
  readonly ownDegreesOfFreedom: number;
}

/** A sweep of a tip as the chart needs it. */
export interface SweepFlows extends SharedOfFlow {
  readonly sweepId: string;
  readonly at_ms: number;
  readonly settings: readonly SettingFlow[];
  /** Equal texts: one instrument with one correction. */
  readonly instrument: string;
  readonly instrumentChecked: boolean;
  /** What the person answered when asked; null: not asked, or not answered. */
  readonly isThisTip: boolean | null;
}

export interface Deviation {
  /** Flow over the baseline's, less 1. */
  readonly relative: number;
  readonly standardUncertainty: number;
  readonly expandedUncertainty95: number;
  /** Part of it that every check with this other instrument has in common; 0 with the baseline's own. */
  readonly otherInstrumentUncertainty: number;
}

/** Two settings are one when they differ by no more than this share: 40 psi and 2.76 bar. */
const SAME_SETTING = 0.01;

/**
 * What: how far a check lies from the baseline.
 * Formula: weighted mean over the settings of ln(flow / baseline flow at that setting), weights 1/u² of own parts; then exp − 1.
 * A setting that the baseline lacks but spans is held against flow/√P between its two neighbours there.
 * What all catches of a sweep share goes into the ± as in a comparison of two tips (`comparison/not-shared`): of one instrument the clock
 * and a meter's factor cancel, a scale and the water only on one day, and with another instrument nothing.
 * @param usual_Pa settings to look at, where the check and the baseline have any of them; else all that can be compared.
 * @returns null when no setting lies inside the baseline's range. Errors: RangeError for an empty baseline.
 */
export function deviationOf(
  check: SweepFlows,
  baseline: readonly SweepFlows[],
  usual_Pa: readonly number[] = [],
): Deviation | null {
  if (baseline.length === 0) throw new RangeError('a baseline has at least one sweep');
  const all = check.settings.flatMap((here) => {
    const then = baselineAt(baseline, here.setting_Pa);
    if (then === null) return [];
    const u = Math.hypot(here.ownRelativeStandardUncertainty, then.relativeStandardUncertainty);
    const logRatio = Math.log(here.flow_m3_per_s / then.flow_m3_per_s);
    return [{ setting_Pa: here.setting_Pa, logRatio, u: Math.max(u, 1e-9), here }];
  });
  const usual = all.filter(({ setting_Pa }) => usual_Pa.some((other) => isSameSetting(other, setting_Pa)));
  const used = usual.length > 0 ? usual : all;
  if (used.length === 0) return null;
  const weights = used.map(({ u }) => 1 / (u * u));
  const sum = weights.reduce((total, weight) => total + weight, 0);
  const relative = Math.expm1(
    used.reduce((total, { logRatio }, i) => total + weights[i]! * logRatio, 0) / sum,
  );
  const isSame = baseline.every(({ instrument }) => instrument === check.instrument);
  const shared = sharedWithBaseline(check, baseline);
  const combined = combineUncertainty([
    ...used.map(({ u, here }, i) => ({
      standardUncertainty: (weights[i]! / sum) * u,
      degreesOfFreedom: Math.max(1, here.ownDegreesOfFreedom),
    })),
    ...shared,
  ]);
  const u = (1 + relative) * combined.standardUncertainty;
  return {
    relative,
    standardUncertainty: u,
    expandedUncertainty95: tQuantile(0.975, combined.degreesOfFreedom) * u,
    otherInstrumentUncertainty: isSame ? 0 : (1 + relative) * sizeOf(shared),
  };
}

/** Against the sweep of the baseline that it has least in common with: the mean of several is worth no less. */
function sharedWithBaseline(check: SweepFlows, baseline: readonly SweepFlows[]): readonly UncertaintyPart[] {
  const [most] = baseline.map((then) => flowNotShared(check, then)).sort((a, b) => sizeOf(b) - sizeOf(a));
  return most ?? [];
}

function sizeOf(parts: readonly UncertaintyPart[]): number {
  return Math.hypot(...parts.map(({ standardUncertainty }) => standardUncertainty));
}

export function isSameSetting(a_Pa: number, b_Pa: number): boolean {
  return Math.abs(a_Pa - b_Pa) <= SAME_SETTING * Math.max(a_Pa, b_Pa);
}

/** The settings that the checks are usually made at: those of the newest of the checks that have the fewest. */
export function usualSettings_Pa(checks: readonly SweepFlows[]): readonly number[] {
  let usual: SweepFlows | null = null;
  for (const check of checks)
    if (check.settings.length > 0 && (usual === null || check.settings.length <= usual.settings.length))
      usual = check;
  return usual?.settings.map(({ setting_Pa }) => setting_Pa) ?? [];
}

/** The baseline's flow at a pressure: geometric mean over its sweeps that have it. */
function baselineAt(
  baseline: readonly SweepFlows[],
  setting_Pa: number,
): { readonly flow_m3_per_s: number; readonly relativeStandardUncertainty: number } | null {
  const found = baseline.flatMap(({ settings }) => {
    const there = settings.find((one) => isSameSetting(one.setting_Pa, setting_Pa));
    if (there === undefined) return [];
    const atThisPressure = there.flow_m3_per_s * Math.sqrt(setting_Pa / there.setting_Pa);
    return [{ logFlow: Math.log(atThisPressure), u: there.ownRelativeStandardUncertainty }];
  });
  if (found.length === 0) return between(baseline, setting_Pa);
  const n = found.length;
  return {
    flow_m3_per_s: Math.exp(found.reduce((sum, { logFlow }) => sum + logFlow, 0) / n),
    relativeStandardUncertainty: Math.hypot(...found.map(({ u }) => u)) / n,
  };
}

function between(baseline: readonly SweepFlows[], setting_Pa: number) {
  const pressures = baseline.flatMap(({ settings }) => settings.map((one) => one.setting_Pa));
  const below_Pa = Math.max(...pressures.filter((p) => p < setting_Pa));
  const above_Pa = Math.min(...pressures.filter((p) => p > setting_Pa));
  if (!(below_Pa > 0 && above_Pa < Infinity)) return null;
  const below = baselineAt(baseline, below_Pa)!;
  const above = baselineAt(baseline, above_Pa)!;
  const share = (setting_Pa - below_Pa) / (above_Pa - below_Pa);
  const constant =
    (1 - share) * (below.flow_m3_per_s / Math.sqrt(below_Pa)) +
    share * (above.flow_m3_per_s / Math.sqrt(above_Pa));
  return {
    flow_m3_per_s: constant * Math.sqrt(setting_Pa),
    relativeStandardUncertainty: Math.hypot(
      (1 - share) * below.relativeStandardUncertainty,
      share * above.relativeStandardUncertainty,
    ),
  };
}
