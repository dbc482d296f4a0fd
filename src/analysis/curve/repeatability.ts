import { fCdf } from '../../base/statistics/distributions.ts';
import { pooledDeviation } from '../../base/statistics/pooled-deviation.ts';
import type { CurvePoint, SettingGroup } from './curve-point.ts';

/** Significance at which repeats are said to scatter more than was stated. */
const SIGNIFICANCE = 0.01;

export interface Repeatability {
  /** Pooled between-catch variance over the stated variance: 1 when the repeats scatter just as stated. */
  readonly varianceRatio: number;
  /** Σ (catches − 1) over the settings. */
  readonly degreesOfFreedom: number;
  /** F test at 1 %: more than chance. */
  readonly exceedsStated: boolean;
}

/**
 * Scatter of repeat catches about their setting's mean, pooled over the settings in units of each catch's stated deviation
 * (so that settings of different flow can be pooled). `statedStandardUncertainty` is per point and holds whatever changes between
 * repeats: own part and dial when the knob is re-set, own part alone when it stays. With measured pressures the deviations are
 * those of flow − k·√pressure, so a pressure that was seen to move is no scatter.
 * Null when no setting has two catches.
 */
export function repeatability(
  points: readonly CurvePoint[],
  groups: readonly SettingGroup[],
  nozzleConstant: number,
  statedStandardUncertainty: readonly number[],
): Repeatability | null {
  // Within a group the mean is weighted alike (one nominal flow): scale by the group's rms deviation.
  const pooled = pooledDeviation(
    groups.map(({ indices }) => {
      const meanSquare =
        indices.reduce((sum, i) => sum + statedStandardUncertainty[i]! ** 2, 0) / indices.length;
      return indices.map((i) => {
        const point = points[i]!;
        const departure = point.flow_m3_per_s - nozzleConstant * Math.sqrt(point.pressure_Pa);
        return departure / Math.sqrt(meanSquare);
      });
    }),
  );
  if (pooled === null) return null;
  const varianceRatio = pooled.standardDeviation ** 2;
  const { degreesOfFreedom } = pooled;
  return {
    varianceRatio,
    degreesOfFreedom,
    exceedsStated: fCdf(varianceRatio, degreesOfFreedom, Infinity) > 1 - SIGNIFICANCE,
  };
}
