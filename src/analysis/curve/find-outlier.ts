import { grubbsTest } from '../../base/statistics/grubbs.ts';
import type { CurveInput } from './curve-point.ts';
import { groupBySetting, pointsAgainstPressure } from './curve-point.ts';
import type { NozzleCurve } from './nozzle-curve.ts';

export interface CurveOutlier {
  /** Place among the points that came in. */
  readonly index: number;
  readonly statistic: number;
  readonly criticalValue: number;
}

/**
 * The one catch that stands apart from a whole sweep, if there is one: Grubbs, two-sided, 5 %, on standardised residuals, at least
 * eight of them (rule 11.8). It points; only a person strikes.
 * Knob set anew: residuals from the curve over their uncertainty. Set once: the dial's error is one for all catches of a setting, so
 * departures from the settings' means, over own uncertainty, with √(n/(n − 1)) for the mean taken from the same few; settings with a
 * single catch have none.
 */
export function findOutlier(input: CurveInput, curve: NozzleCurve): CurveOutlier | null {
  const standardised =
    curve.protocol === 're-set'
      ? curve.points.map((point, i) => ({
          index: point.catches[0]!,
          value: curve.residuals_m3_per_s[i]! / point.standardUncertainty_m3_per_s,
        }))
      : aboutMeans(input, curve);
  const found = grubbsTest(standardised.map(({ value }) => value));
  if (!found.ok || !found.value.isOutlier) return null;
  const { statistic, criticalValue } = found.value;
  return { index: standardised[found.value.index]!.index, statistic, criticalValue };
}

function aboutMeans(input: CurveInput, curve: NozzleCurve) {
  const points = pointsAgainstPressure(input);
  const k = curve.nozzleConstant_m3_per_s_per_sqrtPa;
  return groupBySetting(points).flatMap(({ indices }) => {
    const n = indices.length;
    if (n < 2) return [];
    const departures = indices.map((i) => points[i]!.flow_m3_per_s - k * Math.sqrt(points[i]!.pressure_Pa));
    const mean = departures.reduce((a, b) => a + b, 0) / n;
    return indices.map((index, j) => ({
      index,
      value:
        ((departures[j]! - mean) * Math.sqrt(n / (n - 1))) / points[index]!.ownStandardUncertainty_m3_per_s,
    }));
  });
}
