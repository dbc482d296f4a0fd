import { ok, refused, type Outcome } from '../../base/outcome.ts';
import { combineUncertainty } from '../../base/statistics/welch-satterthwaite.ts';
import { solveSymmetric } from '../../base/statistics/solve-symmetric.ts';
import type { AlternatedLabel } from './alternation.ts';
import { halfWidth, ratioOf, widerDoubt } from './ratio.ts';
import type { Ratio } from './tips-compared.ts';

export interface AlternatedCatch {
  readonly label: AlternatedLabel;
  /** Middle of the catch, s from any start. */
  readonly at_s: number;
  readonly flow_m3_per_s: number;
  /** Of this catch alone; nothing that both tips share (scale, water, clock), for that cancels. 0: nothing is claimed. */
  readonly ownStandardUncertainty_m3_per_s: number;
  readonly ownDegreesOfFreedom?: number;
  /** Of the own part, what repeats show by themselves (the jet's drift); taken off the claim. 0 if left out. */
  readonly seenInRepeats_m3_per_s?: number;
  /** Where every catch has one, read by a sensor: the flows are brought to one pressure by the square root. */
  readonly pressure_Pa?: number;
}

export interface Alternated {
  /** A over B, at one pressure, with what drifted evenly taken out where `trendRemoved`. */
  readonly compared: Ratio;
  /** ln of the ratio of the plain means: what an even drift would have made of it. */
  readonly plainDifference: number;
  /** Flow gained from the first catch to the last (negative: lost), relative, and its 95 % half-width. Null: not estimated. */
  readonly drift: { readonly relative: number; readonly expandedUncertainty95: number } | null;
  readonly trendRemoved: boolean;
  /** Relative standard deviation of one catch, from the scatter after all that. */
  readonly catchStandardDeviation: number;
  readonly degreesOfFreedom: number;
  readonly catches: { readonly A: number; readonly B: number };
}

/** From this many catches on a straight drift is fitted: below, its one degree of freedom costs more than A B B A leaves of a drift. */
const CATCHES_FOR_TREND = 6;
/** Share of a drift (first catch to last) that an order may let through before it has to be fitted. */
const UNBALANCED = 0.02;

/**
 * What: two tips caught in turn with the dial untouched: ratio of their flows.
 * Formula: ln flow = level + d·[A] + drift·time, least squares, plain weights (one kind of catch); variance from the residuals with
 *   n − 3 degrees of freedom (n − 2 without the drift), never narrower than what the catches claim of themselves; t; e^(d ± U).
 *   The drift is fitted from six catches on, or where the order does not cancel it; four in the order A B B A cancel it without.
 * Source: measurement 6 and 11.10; least squares with one indicator: any text on linear models.
 * Conditions: one instrument, one water, one setting; flows above zero. With a dial set anew before each catch the repeats hold its
 *   scatter by themselves.
 * Refused `flow-not-positive`; `too-few-catches` unless two of each are there (and not, as in A A B B all at once, one with the drift).
 */
export function compareAlternated(catches: readonly AlternatedCatch[]): Outcome<Alternated> {
  if (!catches.every((one) => one.flow_m3_per_s > 0)) return refused('flow-not-positive');
  const n = catches.length;
  const ofA = catches.filter((one) => one.label === 'A').length;
  const counts = { A: ofA, B: n - ofA };
  if (counts.A < 2 || counts.B < 2) return refused('too-few-catches');
  const read = catches.every((one) => one.pressure_Pa !== undefined && one.pressure_Pa > 0);
  const logs = catches.map(
    (one) => Math.log(one.flow_m3_per_s) - (read ? Math.log(one.pressure_Pa!) / 2 : 0),
  );
  const isA = catches.map((one) => (one.label === 'A' ? 1 : 0));
  const times = scaled(catches.map((one) => one.at_s));
  const skew = mean(times.filter((_, i) => isA[i] === 1)) - mean(times.filter((_, i) => isA[i] === 0));
  const timed = times.some((time) => time !== times[0]);
  const trendRemoved = timed && (n >= CATCHES_FOR_TREND || Math.abs(skew) > UNBALANCED);
  const columns = [times.map(() => 1), isA, ...(trendRemoved ? [times] : [])];
  const fit = leastSquares(columns, logs);
  if (fit === null) return refused('too-few-catches');
  const degreesOfFreedom = n - columns.length;
  const deviation = Math.sqrt(fit.sumOfSquares / degreesOfFreedom);
  const claim = claimed(catches);
  // What the catches claim goes into the difference the same way as their scatter does.
  const spread = Math.sqrt(fit.inverse[1]![1]!);
  const oneCatch = widerDoubt({ standardUncertainty: deviation, degreesOfFreedom }, claim);
  return ok({
    compared: ratioOf(fit.parameters[1]!, oneCatch.standardUncertainty * spread, oneCatch.degreesOfFreedom),
    plainDifference: mean(logs.filter((_, i) => isA[i] === 1)) - mean(logs.filter((_, i) => isA[i] === 0)),
    drift: trendRemoved
      ? {
          relative: Math.expm1(fit.parameters[2]!),
          expandedUncertainty95: halfWidth(
            oneCatch.standardUncertainty * Math.sqrt(fit.inverse[2]![2]!),
            oneCatch.degreesOfFreedom,
          ),
        }
      : null,
    trendRemoved,
    catchStandardDeviation: deviation,
    degreesOfFreedom,
    catches: counts,
  });
}

/** Root mean square of what the catches claim, relative, without what repeats show by themselves. Null: nothing is claimed. */
function claimed(catches: readonly AlternatedCatch[]) {
  const parts = catches.map((one) => ({
    standardUncertainty:
      Math.sqrt(
        Math.max(0, one.ownStandardUncertainty_m3_per_s ** 2 - (one.seenInRepeats_m3_per_s ?? 0) ** 2),
      ) / one.flow_m3_per_s,
    degreesOfFreedom: one.ownDegreesOfFreedom ?? Infinity,
  }));
  const all = combineUncertainty(parts);
  return all.standardUncertainty === 0
    ? null
    : { ...all, standardUncertainty: all.standardUncertainty / Math.sqrt(catches.length) };
}

/** First to last as −½ … ½, so that the drift's coefficient is the change over the whole run. */
function scaled(times: readonly number[]): number[] {
  const first = Math.min(...times);
  const span = Math.max(...times) - first;
  return times.map((time) => (span > 0 ? (time - first) / span - 0.5 : 0));
}

function leastSquares(columns: readonly (readonly number[])[], y: readonly number[]) {
  const dot = (a: readonly number[], b: readonly number[]): number =>
    a.reduce((sum, value, i) => sum + value * b[i]!, 0);
  const solved = solveSymmetric(
    columns.map((a) => columns.map((b) => dot(a, b))),
    columns.map((a) => dot(a, y)),
  );
  if (solved === null) return null;
  const residuals = y.map(
    (value, i) => value - solved.solution.reduce((sum, p, j) => sum + p * columns[j]![i]!, 0),
  );
  return { parameters: solved.solution, inverse: solved.inverse(), sumOfSquares: dot(residuals, residuals) };
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
