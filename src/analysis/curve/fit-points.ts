import type { Warning } from '../../base/because.ts';
import { meanOf } from '../../base/statistics/mean-and-deviation.ts';
import { combineUncertainty } from '../../base/statistics/welch-satterthwaite.ts';
import type { CurveInput, CurvePoint, SettingGroup } from './curve-point.ts';
import { pressureDoubt } from './curve-point.ts';
import { ownParts } from './pooled-doubts.ts';
import type { OwnParts } from './pooled-doubts.ts';
import { repeatability } from './repeatability.ts';

/** A point of the fit: one catch (`re-set`) or the mean of a setting (`set-once`). */
export interface FitPoint {
  readonly pressure_Pa: number;
  readonly setting_Pa: number;
  readonly flow_m3_per_s: number;
  /** Own part and pressure together, as the weights use it; nothing shared. */
  readonly standardUncertainty_m3_per_s: number;
  /** Which catches it holds: indices into the points that came in. */
  readonly catches: readonly number[];
}

/** What a point's uncertainty is made of, as the weights use it. */
export interface FitPointParts {
  /** Of each catch in it, in the order of `catches`: what was estimated from scatter (pooled or not), and what is known. */
  readonly catches: readonly OwnParts[];
  /** Of the own part, all catches of the point together, before the repeats raised it. */
  readonly ownDegreesOfFreedom: number;
  readonly setting: number;
  readonly settingDegreesOfFreedom: number;
}

export interface PreparedPoints {
  readonly points: readonly FitPoint[];
  readonly parts: readonly FitPointParts[];
  /**
   * How much the repeats raised: what is stated for each catch (`re-set`: own and setting together, `set-once`: own alone); 1 when
   * they did not. `degreesOfFreedom` of the raised part where the F test found more than chance, else null (those of what was stated).
   */
  readonly repeats: { readonly factor: number; readonly degreesOfFreedom: number | null };
  /** Of the points' uncertainties as the slope sees them. */
  readonly effectiveDegreesOfFreedom: number;
  readonly warnings: readonly Warning[];
}

/** Points and their variances for one value of k (the pressure's doubt becomes one of flow through k/(2√P)). */
export function fitPoints(
  input: CurveInput,
  groups: readonly SettingGroup[],
  nozzleConstant: number,
): PreparedPoints {
  return input.protocol === 're-set'
    ? eachCatch(input, groups, nozzleConstant)
    : settingMeansAsPoints(input, groups, nozzleConstant);
}

/** Standard uncertainty of flow from one setting of the pressure. */
export function pressurePart(
  nozzleConstant: number,
  pressure_Pa: number,
  settingStandardUncertainty_Pa: number,
): number {
  return (nozzleConstant / (2 * Math.sqrt(pressure_Pa))) * settingStandardUncertainty_Pa;
}

/**
 * Rule 11.6: variance = max(own² + dial², pooled between-catch²), never pooled² + dial²: the repeats of a re-set knob hold the
 * dial's scatter already. The pooling is done in units of the stated deviation, so the maximum is one factor for all catches.
 */
function eachCatch(input: CurveInput, groups: readonly SettingGroup[], k: number): PreparedPoints {
  const { points } = input;
  const pressures = points.map((point) => pressureDoubt(input, point));
  const dial = points.map((point, i) => pressurePart(k, point.pressure_Pa, pressures[i]!.u_Pa));
  const stated = points.map((point, i) => Math.hypot(point.ownStandardUncertainty_m3_per_s, dial[i]!));
  const repeats = repeatability(points, groups, k, stated);
  const factor = repeats === null ? 1 : Math.sqrt(Math.max(1, repeats.varianceRatio));
  const worse = repeats?.exceedsStated === true;
  return {
    points: points.map((point, i) => ({
      pressure_Pa: point.pressure_Pa,
      setting_Pa: point.setting_Pa,
      flow_m3_per_s: point.flow_m3_per_s,
      standardUncertainty_m3_per_s: factor * stated[i]!,
      catches: [i],
    })),
    parts: points.map((point, i) => ({
      catches: [ownParts(point)],
      ownDegreesOfFreedom: point.ownDegreesOfFreedom ?? Infinity,
      setting: dial[i]!,
      settingDegreesOfFreedom: pressures[i]!.degreesOfFreedom,
    })),
    repeats: { factor, degreesOfFreedom: worse ? repeats.degreesOfFreedom : null },
    effectiveDegreesOfFreedom: worse
      ? repeats.degreesOfFreedom
      : slopeDegreesOfFreedom(
          points.map((point, i) => ({
            pressure_Pa: point.pressure_Pa,
            own: point.ownStandardUncertainty_m3_per_s,
            ownDegreesOfFreedom: point.ownDegreesOfFreedom ?? Infinity,
            dial: dial[i]!,
            dialDegreesOfFreedom: pressures[i]!.degreesOfFreedom,
          })),
        ),
    warnings: worse ? ['dial-repeats-worse-than-stated'] : [],
  };
}

/** The mean of a setting: own parts averaged (never below what the repeats show), the dial's error once, for it was made once. */
function settingMeansAsPoints(input: CurveInput, groups: readonly SettingGroup[], k: number): PreparedPoints {
  const { points } = input;
  const own = points.map((point) => point.ownStandardUncertainty_m3_per_s);
  const repeats = own.every((u) => u > 0) ? repeatability(points, groups, k, own) : null;
  const factor = repeats === null ? 1 : Math.sqrt(Math.max(1, repeats.varianceRatio));
  const worse = repeats?.exceedsStated === true;
  const parts = groups.map(({ setting_Pa, indices }) => {
    const mean = ownOfMean(points, indices);
    const pressure_Pa = meanOf(indices.map((i) => points[i]!.pressure_Pa));
    const pressure = pressureOfMean(input, indices);
    return {
      pressure_Pa,
      setting_Pa,
      indices,
      flow_m3_per_s: meanOf(indices.map((i) => points[i]!.flow_m3_per_s)),
      own: factor * mean.standardUncertainty,
      // One pooled figure serves all means: shared out, so that together they count its degrees of freedom once.
      ownDegreesOfFreedom: worse ? repeats.degreesOfFreedom / groups.length : mean.degreesOfFreedom,
      dial: pressurePart(k, pressure_Pa, pressure.standardUncertainty),
      dialDegreesOfFreedom: pressure.degreesOfFreedom,
    };
  });
  return {
    points: parts.map((part) => ({
      pressure_Pa: part.pressure_Pa,
      setting_Pa: part.setting_Pa,
      flow_m3_per_s: part.flow_m3_per_s,
      standardUncertainty_m3_per_s: Math.hypot(part.own, part.dial),
      catches: part.indices,
    })),
    parts: parts.map(({ indices, dial, dialDegreesOfFreedom }) => ({
      catches: indices.map((i) => ownParts(points[i]!)),
      ownDegreesOfFreedom: ownOfMean(points, indices).degreesOfFreedom,
      setting: dial,
      settingDegreesOfFreedom: dialDegreesOfFreedom,
    })),
    repeats: { factor, degreesOfFreedom: worse ? repeats.degreesOfFreedom : null },
    effectiveDegreesOfFreedom: slopeDegreesOfFreedom(parts),
    warnings: [],
  };
}

/** A dial left alone is wrong by one and the same amount in all catches of a setting; readings of a sensor differ, and average out. */
function pressureOfMean(input: CurveInput, indices: readonly number[]) {
  const doubts = indices.map((i) => pressureDoubt(input, input.points[i]!));
  if (!input.pressureMeasured || input.points[indices[0]!]!.pressureStandardUncertainty_Pa === undefined) {
    return { standardUncertainty: doubts[0]!.u_Pa, degreesOfFreedom: Infinity };
  }
  return combineUncertainty(
    doubts.map(({ u_Pa, degreesOfFreedom }) => ({
      standardUncertainty: u_Pa / indices.length,
      degreesOfFreedom,
    })),
  );
}

/** Own standard uncertainty of the plain mean of some catches, and its degrees of freedom. */
export function ownOfMean(points: readonly CurvePoint[], indices: readonly number[]) {
  return combineUncertainty(
    indices.map((i) => ({
      standardUncertainty: points[i]!.ownStandardUncertainty_m3_per_s / indices.length,
      degreesOfFreedom: points[i]!.ownDegreesOfFreedom ?? Infinity,
    })),
  );
}

/** Welch-Satterthwaite over what each point's own and pressure part bring into the slope (weight times √P); a dial is a stated value. */
function slopeDegreesOfFreedom(
  parts: readonly {
    readonly pressure_Pa: number;
    readonly own: number;
    readonly ownDegreesOfFreedom: number;
    readonly dial: number;
    readonly dialDegreesOfFreedom: number;
  }[],
): number {
  return combineUncertainty(
    parts.flatMap(({ pressure_Pa, own, ownDegreesOfFreedom, dial, dialDegreesOfFreedom }) => {
      const bring = Math.sqrt(pressure_Pa) / (own * own + dial * dial);
      return [
        { standardUncertainty: bring * own, degreesOfFreedom: ownDegreesOfFreedom },
        { standardUncertainty: bring * dial, degreesOfFreedom: dialDegreesOfFreedom },
      ];
    }),
  ).degreesOfFreedom;
}
