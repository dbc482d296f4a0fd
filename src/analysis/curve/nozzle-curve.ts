import type { Absence, Warning } from '../../base/because.ts';
import { ok, refused } from '../../base/outcome.ts';
import type { Outcome } from '../../base/outcome.ts';
import { tQuantile } from '../../base/statistics/distributions.ts';
import type { LackOfFit } from '../../base/statistics/lack-of-fit.ts';
import { lineThroughOrigin } from '../../base/statistics/line-through-origin.ts';
import { powerLaw } from '../../base/statistics/power-law.ts';
import { weightedLineThroughOrigin } from '../../base/statistics/weighted-through-origin.ts';
import { combineUncertainty } from '../../base/statistics/welch-satterthwaite.ts';
import { betweenSettings } from './between-settings.ts';
import type { CurveInput, SettingProtocol } from './curve-point.ts';
import { groupBySetting, pointsAgainstPressure, pressureDoubt } from './curve-point.ts';
import { fitPoints, pressurePart } from './fit-points.ts';
import type { FitPoint, FitPointParts, PreparedPoints } from './fit-points.ts';
import { measuredExponent } from './measured-exponent.ts';
import { poolDoubts } from './pooled-doubts.ts';

/** Flow = k·√pressure for one tip on one rig, and what can be asked of it. SI, unit in the name. */
export interface NozzleCurve {
  readonly method: 'effective-variance weighted least squares, flow = k * sqrt(pressure)';
  readonly protocol: SettingProtocol;
  readonly settingStandardUncertainty_Pa: number;
  readonly pressureMeasured: boolean;
  readonly nozzleConstant_m3_per_s_per_sqrtPa: number;
  /** Weights and the shared part, once. Not scaled by chi-square. The dial's SHARED error is not in it: see compareWithRated. */
  readonly nozzleConstantStandardUncertainty_m3_per_s_per_sqrtPa: number;
  /** The same without the shared part: cancels nothing, but what ratios between tips on one instrument need. */
  readonly nozzleConstantOwnStandardUncertainty_m3_per_s_per_sqrtPa: number;
  readonly sharedRelativeStandardUncertainty: number;
  readonly sharedDegreesOfFreedom: number;
  /** Of a sensor: what its offset and gain do to k, once. 0 for a dial. */
  readonly pressureSharedStandardUncertainty_Pa: number;
  /** Half-width of the 95 % interval of k: t with the effective degrees of freedom of its uncertainty. */
  readonly nozzleConstantExpanded95_m3_per_s_per_sqrtPa: number;
  /** Points − 1. */
  readonly degreesOfFreedom: number;
  /** Of the standard uncertainty of k (what its t uses); Infinity when it rests on stated values alone. */
  readonly effectiveDegreesOfFreedom: number;
  /** What was fitted, in this order: catches when the knob was re-set, setting means when set once. */
  readonly points: readonly FitPoint[];
  /** What each point's uncertainty is made of, same order, and what the repeats added. */
  readonly pointParts: readonly FitPointParts[];
  readonly repeats: PreparedPoints['repeats'];
  /** The weights rest on estimates pooled over the sweep, since each alone has few degrees of freedom. */
  readonly doubtsPooled: boolean;
  /** Flow − k·√pressure of those points. */
  readonly residuals_m3_per_s: readonly number[];
  readonly catches: number;
  readonly settings: number;
  readonly lowestPressure_Pa: number;
  readonly highestPressure_Pa: number;
  /** Between the settings: settings − 1 degrees of freedom. Null for one setting, or two catches in all. */
  readonly lackOfFit: LackOfFit | null;
  readonly lackOfFitBecause: Absence | null;
  readonly exponent: number | null;
  readonly exponentStandardUncertainty: number | null;
  readonly exponentBecause: Absence | null;
  /** Relative change of k per Pa of an error shared by all settings (a dial that reads high by as much everywhere). */
  readonly offsetSensitivity_per_Pa: number;
  readonly warnings: readonly Warning[];
}

/** Fewest settings for a free exponent. */
const SETTINGS_FOR_EXPONENT = 3;

/**
 * Fit Q = k·√P with effective-variance weights: u² = own² + (k/(2√P)·u_P)², k and weights in turn until k stands still.
 * The dial is SET to a target, so weighted least squares on the nominal pressure is unbiased (Berkson); errors-in-variables
 * regression over-corrects (measurement 5.1).
 *
 * `re-set`: every catch is a point, its variance raised to the pooled between-catch one where that is larger; if the F test at
 * 1 % says the repeats scatter more than stated: warning `dial-repeats-worse-than-stated`, t with the repeats' degrees of freedom.
 * Pressures that a sensor read: each with its own doubt in the weights; what the sensor shares enters k once, after the fit.
 * Where points rest on few degrees of freedom, their estimated parts are pooled for the weights (`pooled-doubts.ts`).
 * `set-once`: the points are setting means; the dial enters once per mean however many catches it holds (measurement 11.2-11.6).
 *
 * Refused: `no-catches`, `setting-not-positive`, `flow-not-positive`. Errors: RangeError for an uncertainty that is not finite or
 * negative, or when both own and pressure uncertainty of a point are zero (weights would be infinite).
 */
export function fitNozzleCurve(input: CurveInput): Outcome<NozzleCurve> {
  const { protocol, settingStandardUncertainty_Pa } = input;
  let points = pointsAgainstPressure(input);
  if (points.length === 0) return refused('no-catches');
  for (const point of points) {
    if (!(point.pressure_Pa > 0 && point.setting_Pa > 0)) return refused('setting-not-positive');
    if (!(point.flow_m3_per_s > 0)) return refused('flow-not-positive');
  }
  const groups = groupBySetting(points);
  const roots = points.map((point) => Math.sqrt(point.pressure_Pa));
  const start = lineThroughOrigin(
    roots,
    points.map((point) => point.flow_m3_per_s),
  );
  if (start === null) return refused('no-catches');

  let k = start.slope;
  const pooled = poolDoubts(
    points,
    points.map((point) => pressurePart(k, point.pressure_Pa, pressureDoubt(input, point).u_Pa)),
  );
  points = pooled ?? points;
  const used = { ...input, points };
  let prepared = fitPoints(used, groups, k);
  let fit = weighted(prepared.points);
  for (let turn = 0; turn < 50 && Math.abs(fit.slope - k) > 1e-13 * k; turn++) {
    k = fit.slope;
    prepared = fitPoints(used, groups, k);
    fit = weighted(prepared.points);
  }
  k = fit.slope;

  const shared = Math.max(...points.map((point) => point.sharedRelativeStandardUncertainty));
  const own = {
    standardUncertainty: fit.slopeStandardUncertainty,
    degreesOfFreedom: prepared.effectiveDegreesOfFreedom,
  };
  const sharedDegreesOfFreedom = input.sharedDegreesOfFreedom ?? Infinity;
  const offsetSensitivity_per_Pa = offsetSensitivity(prepared.points);
  const sensor_Pa = input.pressureMeasured ? (input.pressureSharedStandardUncertainty_Pa ?? 0) : 0;
  const total = combineUncertainty([
    own,
    { standardUncertainty: k * shared, degreesOfFreedom: sharedDegreesOfFreedom },
    { standardUncertainty: k * offsetSensitivity_per_Pa * sensor_Pa, degreesOfFreedom: Infinity },
  ]);
  const pressures = prepared.points.map((point) => point.pressure_Pa);
  const flows = prepared.points.map((point) => point.flow_m3_per_s);
  const uncertainties = prepared.points.map((point) => point.standardUncertainty_m3_per_s);
  const fitTest =
    points.length > 2 && groups.length > 1
      ? betweenSettings(prepared.points, fit.residuals, {
          nozzleConstant: k,
          sharedStandardUncertainty_Pa: sensor_Pa,
        })
      : null;
  const law = groups.length < SETTINGS_FOR_EXPONENT ? null : exponentOf();
  const hasExponent = law?.ok === true;

  return ok(
    Object.freeze({
      method: 'effective-variance weighted least squares, flow = k * sqrt(pressure)',
      protocol,
      settingStandardUncertainty_Pa,
      pressureMeasured: input.pressureMeasured,
      nozzleConstant_m3_per_s_per_sqrtPa: k,
      nozzleConstantStandardUncertainty_m3_per_s_per_sqrtPa: total.standardUncertainty,
      nozzleConstantOwnStandardUncertainty_m3_per_s_per_sqrtPa: own.standardUncertainty,
      sharedRelativeStandardUncertainty: shared,
      sharedDegreesOfFreedom,
      pressureSharedStandardUncertainty_Pa: sensor_Pa,
      nozzleConstantExpanded95_m3_per_s_per_sqrtPa:
        tQuantile(0.975, total.degreesOfFreedom) * total.standardUncertainty,
      degreesOfFreedom: prepared.points.length - 1,
      effectiveDegreesOfFreedom: total.degreesOfFreedom,
      points: Object.freeze(prepared.points),
      pointParts: Object.freeze(prepared.parts),
      repeats: prepared.repeats,
      doubtsPooled: pooled !== null,
      residuals_m3_per_s: Object.freeze([...fit.residuals]),
      catches: points.length,
      settings: groups.length,
      lowestPressure_Pa: Math.min(...pressures),
      highestPressure_Pa: Math.max(...pressures),
      lackOfFit: fitTest,
      lackOfFitBecause: fitTest === null ? whyNoFitTest(points.length, groups.length) : null,
      exponent: hasExponent ? law.value.exponent : null,
      exponentStandardUncertainty: hasExponent ? law.value.exponentStandardUncertainty : null,
      exponentBecause: hasExponent ? null : whyNoExponent(groups.length),
      offsetSensitivity_per_Pa,
      warnings: Object.freeze(prepared.warnings),
    }),
  );

  function exponentOf() {
    if (
      input.pressureMeasured &&
      points.some((point) => point.pressureStandardUncertainty_Pa !== undefined)
    ) {
      return measuredExponent(prepared.points, prepared.parts, k, sensor_Pa);
    }
    return powerLaw(pressures, flows, uncertainties);
  }
}

/** Σw/ΣwP/2: relative change of k per Pa that every pressure is wrong by. */
function offsetSensitivity(points: readonly FitPoint[]): number {
  let sumW = 0;
  let sumWP = 0;
  for (const { pressure_Pa, standardUncertainty_m3_per_s: u } of points) {
    sumW += 1 / (u * u);
    sumWP += pressure_Pa / (u * u);
  }
  return sumW / sumWP / 2;
}

function weighted(points: readonly FitPoint[]) {
  const fit = weightedLineThroughOrigin(
    points.map((point) => Math.sqrt(point.pressure_Pa)),
    points.map((point) => point.flow_m3_per_s),
    points.map((point) => point.standardUncertainty_m3_per_s),
  );
  if (fit === null) throw new RangeError('no point with a pressure'); // points are checked before
  return fit;
}

function whyNoFitTest(catches: number, settings: number): Absence {
  if (settings === 1) return 'one-setting-only';
  return catches === 2 ? 'two-catches-only' : 'no-degrees-of-freedom';
}

function whyNoExponent(settings: number): Absence {
  if (settings === 1) return 'one-setting-only';
  return settings < SETTINGS_FOR_EXPONENT ? 'too-few-settings' : 'fit-did-not-settle';
}
