import { meanOf } from '../../base/statistics/mean-and-deviation.ts';
import { tQuantile } from '../../base/statistics/distributions.ts';
import { lineThroughOrigin } from '../../base/statistics/line-through-origin.ts';
import type { SettingMean } from '../sweep/analysis.ts';
import type { CurveInput, CurvePoint } from './curve-point.ts';
import { groupBySetting, pointsAgainstPressure } from './curve-point.ts';
import { ownOfMean, pressurePart } from './fit-points.ts';
import { ownParts } from './pooled-doubts.ts';
import { repeatability } from './repeatability.ts';

/**
 * Mean flow of the catches at each setting, settings ascending, with its 95 % expanded uncertainty from OWN parts:
 * the between-catch deviation pooled over all settings (t with its degrees of freedom), never smaller than what the catches claim
 * for themselves (measurement 2.3); the allowance for a drift of the jet, which repeats are there to show, stands only without them. Repeats of a re-set knob hold the dial's scatter; a knob left alone keeps it out:
 * then this is the flow at that mark of this dial. Without repeats anywhere the stated values serve.
 * `catches` are indices into the points. No points: an empty list.
 */
export function settingMeans(input: CurveInput): SettingMean[] {
  const points = pointsAgainstPressure(input);
  const groups = groupBySetting(points);
  const k = lineThroughOrigin(
    points.map((point) => Math.sqrt(point.pressure_Pa)),
    points.map((point) => point.flow_m3_per_s),
  )?.slope;
  if (k === undefined) return [];
  const stated = points.map((point) =>
    input.protocol === 'set-once'
      ? point.ownStandardUncertainty_m3_per_s
      : Math.hypot(
          point.ownStandardUncertainty_m3_per_s,
          pressurePart(k, point.pressure_Pa, input.settingStandardUncertainty_Pa),
        ),
  );
  const repeats = stated.every((u) => u > 0) ? repeatability(points, groups, k, stated) : null;
  const withinFill = points.map(withoutJet);
  return groups.map(({ setting_Pa, indices }) => {
    const own = ownOfMean(repeats === null ? points : withinFill, indices);
    const statedOfMean = Math.hypot(...indices.map((i) => stated[i]!)) / indices.length;
    const pooled = statedOfMean * Math.sqrt(repeats?.varianceRatio ?? 1);
    const usePooled = pooled >= own.standardUncertainty;
    const degreesOfFreedom = usePooled
      ? (repeats?.degreesOfFreedom ?? (input.protocol === 'set-once' ? own.degreesOfFreedom : Infinity))
      : own.degreesOfFreedom;
    return {
      setting_Pa,
      catches: indices,
      flow_m3_per_s: meanOf(indices.map((i) => points[i]!.flow_m3_per_s)),
      expandedUncertainty95_m3_per_s:
        tQuantile(0.975, degreesOfFreedom) * (usePooled ? pooled : own.standardUncertainty),
    };
  });
}

/** What the catch's own readings say, without what only repeats can show. */
function withoutJet(point: CurvePoint): CurvePoint {
  const own = point.ownStandardUncertainty_m3_per_s;
  const seen = Math.min(own, point.seenInRepeats_m3_per_s ?? 0);
  if (seen === 0) return point;
  const within = Math.sqrt(own * own - seen * seen);
  const { estimated, estimatedDegreesOfFreedom } = ownParts(point);
  return {
    ...point,
    ownStandardUncertainty_m3_per_s: within,
    // What was estimated stays so: Welch-Satterthwaite without the part that was known.
    ownDegreesOfFreedom:
      estimated > 0 ? Math.max(1, within / estimated) ** 4 * estimatedDegreesOfFreedom : Infinity,
  };
}
