import { tTestPower } from '../../base/statistics/t-test-power.ts';

export interface CatchesQuestion {
  /** Difference that is to be seen, on the logarithm of the ratio: 0.01 = one per cent. */
  readonly difference: number;
  /** Relative standard deviation of one catch at a pressure that stands still. */
  readonly catchStandardDeviation: number;
  /**
   * The dial is set anew before each catch: its doubt and the setting. Left out: it is not touched (measurement 6: sP/(2P) is
   * nothing then, for both tips have the same pressure).
   */
  readonly dialSetAnew?: { readonly standardUncertainty_Pa: number; readonly setting_Pa: number };
  /** Chance of seeing it; 0.8 if left out. */
  readonly power?: number;
  /** A straight drift is estimated too, which costs one degree of freedom (`compareAlternated` does from six catches on). */
  readonly drift?: boolean;
}

/** Above this nobody stands at a pail; the answer is then "more". */
export const MOST_CATCHES = 200;
const FEWEST_CATCHES = 2;

/**
 * What: how many catches of EACH of two tips it takes to see a difference with the wanted chance, two-sided t test on ln flow, 5 %.
 * Formula: the smallest n ≥ 2 whose power at δ/(s·√(2/n)), 2n − 2 degrees of freedom, reaches it;
 *   s = √(catch² + (u_P/(2P))²).
 * Source: measurement 6 (its table comes out to the digit); power of the t test: non-central t.
 * Returns null above `MOST_CATCHES`. Errors: RangeError for a difference or a deviation that is not above zero.
 * @example catchesNeeded({ difference: 0.01, catchStandardDeviation: 0.01 }) // 17
 */
export function catchesNeeded(question: CatchesQuestion): number | null {
  const s = deviationOfCatch(question);
  const wanted = question.power ?? 0.8;
  for (let n = FEWEST_CATCHES; n <= MOST_CATCHES; n++) {
    if (powerOf(question.difference, s, n, question.drift === true) >= wanted) return n;
  }
  return null;
}

/**
 * What: the smallest difference (on the logarithm) that n catches of each tip show with the wanted chance. Inverse of `catchesNeeded`.
 * @example differenceSeen(17, { catchStandardDeviation: 0.01 }) // 0.0099
 */
export function differenceSeen(catchesPerTip: number, question: Omit<CatchesQuestion, 'difference'>): number {
  const s = deviationOfCatch(question);
  const wanted = question.power ?? 0.8;
  let low = 0;
  let high = s;
  const seen = (difference: number): boolean =>
    powerOf(difference, s, catchesPerTip, question.drift === true) >= wanted;
  while (!seen(high)) high *= 2;
  for (let step = 0; step < 40; step++) {
    const middle = (low + high) / 2;
    if (seen(middle)) high = middle;
    else low = middle;
  }
  return high;
}

function powerOf(difference: number, s: number, n: number, drift: boolean): number {
  const degreesOfFreedom = 2 * n - (drift && 2 * n > 3 ? 3 : 2);
  return tTestPower(positive(difference) / (s * Math.sqrt(2 / n)), degreesOfFreedom);
}

/** Relative standard deviation of one catch with what setting the dial adds. */
export function deviationOfCatch({
  catchStandardDeviation,
  dialSetAnew,
}: Omit<CatchesQuestion, 'difference'>): number {
  const dial =
    dialSetAnew === undefined
      ? 0
      : dialSetAnew.standardUncertainty_Pa / (2 * positive(dialSetAnew.setting_Pa));
  return positive(Math.hypot(catchStandardDeviation, dial));
}

function positive(value: number): number {
  if (!(value > 0 && value < Infinity)) throw new RangeError(`a positive number is needed, not ${value}`);
  return value;
}
