import { chiSquareQuantile } from '../../base/statistics/distributions.ts';
import { lineThroughOrigin } from '../../base/statistics/line-through-origin.ts';
import { pooledDeviation } from '../../base/statistics/pooled-deviation.ts';
import type { CurveInput } from './curve-point.ts';
import { groupBySetting } from './curve-point.ts';

/** How well a dial goes back to a mark, seen in the repeats of a sweep. Standard deviations of one setting, Pa. */
export interface DialRepeats {
  readonly standardDeviation_Pa: number;
  /** 95 % interval; the lower end is 0 where the catches alone could scatter so. */
  readonly lowest_Pa: number;
  readonly highest_Pa: number;
  readonly degreesOfFreedom: number;
  /** What was stated of it. */
  readonly stated_Pa: number;
}

/** Fewer say next to nothing: with four the upper end is three times what is found. */
const FEWEST_DEGREES = 4;

/**
 * What: how well a knob that is set anew before every catch repeats, from the scatter of the catches at each setting.
 * Formula: each catch's departure from its setting's mean as a pressure, 2P·ΔQ/Q; pooled variance S² with ν degrees of freedom; what the
 *   catches claim of themselves, the mean of (2P·u/Q)², comes off: dial² = S² − own². Interval: νS²/χ²(0.975) … νS²/χ²(0.025), less own²,
 *   never below 0; the dial's share is found where the catches claim right.
 * Source: chi-square interval of a standard deviation, NIST/SEMATECH e-Handbook 7.2.3.1; own² taken off: measurement 11.6.
 * Null: the dial was left alone or goes back to the same (`set-once`), a sensor read the pressure, or there are under 4 degrees of freedom.
 */
export function dialRepeats(input: CurveInput): DialRepeats | null {
  if (input.protocol !== 're-set' || input.pressureMeasured) return null;
  const { points } = input;
  const k = lineThroughOrigin(
    points.map((point) => Math.sqrt(point.setting_Pa)),
    points.map((point) => point.flow_m3_per_s),
  )?.slope;
  if (k === undefined || !(k > 0)) return null;
  // dQ/dP of the curve, so that a setting's mean needs no flow of its own: 2P/Q = 2√P/k.
  const perFlow = points.map((point) => (2 * Math.sqrt(point.setting_Pa)) / k);
  const groups = groupBySetting(points).filter(({ indices }) => indices.length > 1);
  const pooled = pooledDeviation(
    groups.map(({ indices }) => indices.map((i) => points[i]!.flow_m3_per_s * perFlow[i]!)),
  );
  if (pooled === null || pooled.degreesOfFreedom < FEWEST_DEGREES) return null;
  const { standardDeviation, degreesOfFreedom, sumOfSquares } = pooled;
  let own = 0;
  for (const { indices } of groups) {
    const claimed = indices.map((i) => (points[i]!.ownStandardUncertainty_m3_per_s * perFlow[i]!) ** 2);
    own += (claimed.reduce((sum, square) => sum + square, 0) / indices.length) * (indices.length - 1);
  }
  own /= degreesOfFreedom;
  const left = (square: number): number => Math.sqrt(Math.max(0, square - own));
  return {
    standardDeviation_Pa: left(standardDeviation ** 2),
    lowest_Pa: left(sumOfSquares / chiSquareQuantile(0.975, degreesOfFreedom)),
    highest_Pa: left(sumOfSquares / chiSquareQuantile(0.025, degreesOfFreedom)),
    degreesOfFreedom,
    stated_Pa: input.settingStandardUncertainty_Pa,
  };
}
