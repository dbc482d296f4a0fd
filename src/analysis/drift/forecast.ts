import { fCdf, tQuantile } from '../../base/statistics/distributions.ts';
import { ordinaryLine, type OrdinaryLine } from '../../base/statistics/ordinary-line.ts';
import type { Absence } from '../../base/because.ts';
import type { DriftChart } from './drift.ts';
import { FEWEST_DEGREES_OF_FREEDOM } from './limit-width.ts';
import type { WeeklySpread } from './weekly-spread.ts';

/** Enough for a forecast: so many checks, over so many weeks. Judgement, no source. */
const FEWEST_CHECKS = 4;
const SHORTEST_weeks = 3;
/** A line that fits worse than this lower-tail probability of F allows is not one line. */
const STILL_A_LINE = 0.95;
/** Farther off no week is named: ten years. */
const FARTHEST_weeks = 520;

export interface WeekValue {
  readonly week: number;
  /** Deviation from the baseline without what the rig shares. */
  readonly value: number;
}

export type Forecast =
  | { readonly forecast: NonNullable<DriftChart['forecast']>; readonly because: null }
  | { readonly forecast: null; readonly because: Absence };

/**
 * What: the week in which a steady wear brings the flow to a limit, with its 95 % interval.
 * Method: straight line through the baseline's sweeps and the checks; the oldest are let go of while the rest is no line (F test against
 *   the weekly spread, 5 %). Interval of the crossing after Fieller: all weeks at which the t interval of line less limit holds zero. Every
 *   deviation has the error of the baseline's mean in it, so that is part of the interval, with its covariance with the line.
 * Source: Fieller's theorem (1954; recalled), as used for calibration lines read backwards.
 * Because: `forecast-needs-more` (under four checks over three weeks, or a spread of under 6 degrees of freedom), `flow-not-rising` (the
 *   slope's interval holds zero), `change-not-steady` (no four newest checks lie on a line).
 * @param baseline and checks: ascending weeks. @param limit relative: 0.1 is +10 %.
 */
export function forecastOf(
  baseline: readonly WeekValue[],
  checks: readonly WeekValue[],
  spread: WeeklySpread | null,
  limit: number,
): Forecast {
  if (spread === null || spread.degreesOfFreedom < FEWEST_DEGREES_OF_FREEDOM || !isEnough(checks))
    return none('forecast-needs-more');
  const all = [...baseline, ...checks];
  for (let from = 0; isEnough(checks.slice(Math.max(0, from - baseline.length))); from++) {
    const used = all.slice(from);
    const line = ordinaryLine(
      used.map(({ week }) => week),
      used.map(({ value }) => value),
    );
    if (line === null) break;
    if (!isLine(line.residualSumOfSquares, line.degreesOfFreedom, spread)) continue;
    const crossing = crossingOf(line, limit, spread, {
      sweeps: baseline.length,
      inLine: baseline.slice(from).map(({ week }) => week),
    });
    if (crossing === null) return none('flow-not-rising');
    const isFar = crossing.latest - checks.at(-1)!.week > FARTHEST_weeks;
    return {
      forecast: { ...crossing, latest: isFar ? null : crossing.latest, perWeek: line.slope },
      because: null,
    };
  }
  return none('change-not-steady');
}

function isEnough(checks: readonly WeekValue[]): boolean {
  return checks.length >= FEWEST_CHECKS && checks.at(-1)!.week - checks[0]!.week >= SHORTEST_weeks - 0.5;
}

function isLine(sumOfSquares: number, degreesOfFreedom: number, spread: WeeklySpread): boolean {
  if (degreesOfFreedom === 0) return true;
  if (spread.standardDeviation === 0) return sumOfSquares === 0;
  const ratio = sumOfSquares / degreesOfFreedom / spread.standardDeviation ** 2;
  return fCdf(ratio, degreesOfFreedom, spread.degreesOfFreedom) <= STILL_A_LINE;
}

function none(because: Absence): Forecast {
  return { forecast: null, because };
}

/**
 * Where the line meets the limit, and all weeks x with (b·u − D)² ≤ t²s²·V(u), u = x − x̄, D = limit − ȳ. V = 1/n + u²/Sxx of the line, 1/nb
 * of the baseline's mean, less twice their covariance m/nb·(1/n + u(x̄m − x̄)/Sxx), m of its nb sweeps being in the line. Null: the slope
 * is not above zero beyond its own interval.
 */
function crossingOf(
  line: OrdinaryLine,
  limit: number,
  spread: WeeklySpread,
  baseline: { readonly sweeps: number; readonly inLine: readonly number[] },
): { readonly week: number; readonly earliest: number; readonly latest: number } | null {
  const { n, slope, sxx, meanX } = line;
  const scale = (tQuantile(0.975, spread.degreesOfFreedom) * spread.standardDeviation) ** 2;
  const ahead = limit - line.meanY;
  const m = baseline.inLine.length;
  const share = m / baseline.sweeps;
  const away = m === 0 ? 0 : baseline.inLine.reduce((sum, week) => sum + week - meanX, 0) / m;
  // a·u² − 2·h·u + c ≤ 0
  const a = slope ** 2 - scale / sxx;
  const h = slope * ahead - (scale * share * away) / sxx;
  const c = ahead ** 2 - scale * (1 / n + 1 / baseline.sweeps - (2 * share) / n);
  const root = h * h - a * c;
  if (!(slope > 0 && a > 0 && root >= 0)) return null;
  return {
    week: meanX + ahead / slope,
    earliest: meanX + (h - Math.sqrt(root)) / a,
    latest: meanX + (h + Math.sqrt(root)) / a,
  };
}
