import { chiSquareCdf } from '../../base/statistics/distributions.ts';
import { combineUncertainty, type UncertaintyPart } from '../../base/statistics/welch-satterthwaite.ts';
import { pressurePart } from '../curve/fit-points.ts';
import type { SettingMean } from '../sweep/analysis.ts';
import { notAlike, notShared, whyNot } from './not-shared.ts';
import { halfWidth, ratioOf } from './ratio.ts';
import type { TipSweep } from './tip-sweep.ts';
import type { TipAgainstTip } from './tips-compared.ts';

/** Standard uncertainty of a half-width of 95 %, where no better is known of its degrees of freedom. */
const HALF_WIDTHS = 1.959964;
/** Significance of "the ratio is not the same at all pressures". */
const NOT_ONE_RATIO = 0.01;

/**
 * What: one tip over another, from a sweep of each: ratio of their k, and of their flows at each setting both were caught at.
 * Formula: ln(k/k'); u² = own² + own'² + what they do not share (`notShared`), Welch-Satterthwaite, t, interval on the logarithm. With a
 *   control that returns (clicks) on one rig, the pressure's own error is one and the same in both at a common setting: then the ratio is
 *   the mean of the setting ratios, weighted by the inverse squares of their ±, without the dial (measurement 11.3).
 *   At a setting: ratio of the means; ± of both means, the dial's own where their ± does not hold it (set once), and what is not shared.
 * Not compared (`comparedBecause`): `simulated-against-measured`, `flow-not-held`, `instruments-not-checked` (a meter nobody checked
 *   against a scale), `rigs-not-tied` (another rig and nothing that ties the pressures), `no-common-range`.
 * Warning `ratio-changes-with-pressure`: the setting ratios differ by more than their own ± allow (chi-square, 1 %): not one k against
 *   another, so the ratios at the pressures count.
 */
export function compareTips(tip: TipSweep, against: TipSweep): TipAgainstTip {
  const names = { tip: tip.tip, against: against.tip, notAlike: notAlike(tip, against) };
  const because = whyNot(tip, against);
  if (because !== null) return { ...names, compared: null, comparedBecause: because, at: [], warnings: [] };
  const sameDial =
    tip.rig === against.rig &&
    tip.pressure.source === 'dial' &&
    against.pressure.source === 'dial' &&
    tip.pressure.returns &&
    against.pressure.returns;
  const settings = commonSettings(tip, against, sameDial);
  const byConstants = combineUncertainty([ownOf(tip), ownOf(against), ...notShared(tip, against)]);
  const compared =
    sameDial && settings.length > 0
      ? overSettings(tip, against, settings)
      : ratioOf(
          Math.log(
            tip.curve.nozzleConstant_m3_per_s_per_sqrtPa / against.curve.nozzleConstant_m3_per_s_per_sqrtPa,
          ),
          byConstants.standardUncertainty,
          byConstants.degreesOfFreedom,
        );
  return {
    ...names,
    compared,
    comparedBecause: null,
    at: settings.map(({ pressure_Pa, difference, half }) => {
      const shared = combineUncertainty(notShared(tip, against, pressure_Pa)).standardUncertainty;
      const whole = Math.hypot(half, halfWidth(shared, Infinity));
      const ratio = Math.exp(difference);
      return { pressure_Pa, ratio, expandedUncertainty95: ratio * Math.expm1(whole) };
    }),
    warnings: changesWithPressure(settings) ? ['ratio-changes-with-pressure'] : [],
  };
}

interface AtSetting {
  readonly pressure_Pa: number;
  /** ln of the ratio of the means, and its half-width from what is each one's own. */
  readonly difference: number;
  readonly half: number;
}

function commonSettings(a: TipSweep, b: TipSweep, sameDial: boolean): AtSetting[] {
  return a.settings.flatMap((mean) => {
    const other = b.settings.find((one) => one.setting_Pa === mean.setting_Pa);
    if (other === undefined) return [];
    const half = Math.hypot(relativeHalf(a, mean, sameDial), relativeHalf(b, other, sameDial));
    return [
      { pressure_Pa: mean.setting_Pa, difference: Math.log(mean.flow_m3_per_s / other.flow_m3_per_s), half },
    ];
  });
}

/** The ± of a mean holds the dial where the knob was re-set for each catch; set once, the dial is added, unless both had the same. */
function relativeHalf({ curve }: TipSweep, mean: SettingMean, sameDial: boolean): number {
  const own = mean.expandedUncertainty95_m3_per_s / mean.flow_m3_per_s;
  if (sameDial || curve.protocol === 're-set') return own;
  const dial =
    pressurePart(1, mean.setting_Pa, curve.settingStandardUncertainty_Pa) / Math.sqrt(mean.setting_Pa);
  return Math.hypot(own, halfWidth(dial, Infinity));
}

function overSettings(tip: TipSweep, against: TipSweep, settings: readonly AtSetting[]) {
  const weights = settings.map(({ half }) => 1 / half ** 2);
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const difference = settings.reduce((sum, one, i) => sum + weights[i]! * one.difference, 0) / total;
  const own = { standardUncertainty: 1 / Math.sqrt(total) / HALF_WIDTHS, degreesOfFreedom: Infinity };
  const all = combineUncertainty([own, ...notShared(tip, against)]);
  return ratioOf(difference, all.standardUncertainty, all.degreesOfFreedom);
}

function changesWithPressure(settings: readonly AtSetting[]): boolean {
  if (settings.length < 2) return false;
  const weights = settings.map(({ half }) => (HALF_WIDTHS / half) ** 2);
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const mean = settings.reduce((sum, one, i) => sum + weights[i]! * one.difference, 0) / total;
  const chiSquare = settings.reduce((sum, one, i) => sum + weights[i]! * (one.difference - mean) ** 2, 0);
  return chiSquareCdf(chiSquare, settings.length - 1) > 1 - NOT_ONE_RATIO;
}

/** Own part of k, relative, with its degrees of freedom: those of the whole, less what is shared (Welch-Satterthwaite backwards). */
export function ownOf({ curve }: TipSweep): UncertaintyPart {
  const k = curve.nozzleConstant_m3_per_s_per_sqrtPa;
  const own = curve.nozzleConstantOwnStandardUncertainty_m3_per_s_per_sqrtPa / k;
  const whole = curve.nozzleConstantStandardUncertainty_m3_per_s_per_sqrtPa / k;
  const shared = curve.sharedRelativeStandardUncertainty;
  const fourths = whole ** 4 / curve.effectiveDegreesOfFreedom - shared ** 4 / curve.sharedDegreesOfFreedom;
  return { standardUncertainty: own, degreesOfFreedom: fourths > 0 ? own ** 4 / fourths : Infinity };
}
