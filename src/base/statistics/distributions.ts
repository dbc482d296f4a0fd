import chisquareCdf from '@stdlib/stats-base-dists-chisquare-cdf';
import chisquareQuantile from '@stdlib/stats-base-dists-chisquare-quantile';
import snedecorCdf from '@stdlib/stats-base-dists-f-cdf';
import snedecorQuantile from '@stdlib/stats-base-dists-f-quantile';
import studentCdf from '@stdlib/stats-base-dists-t-cdf';
import studentQuantile from '@stdlib/stats-base-dists-t-quantile';

/*
 * The only file that names @stdlib, so that the distributions stay in the worker's chunk: the page must not import this,
 * nor anything that imports this.
 *
 * Every `p` is a LOWER-tail probability in (0, 1). A two-sided 95 % interval asks for p = 0.975.
 * Degrees of freedom may be fractional (Welch-Satterthwaite) and, for t and F's denominator, Infinity.
 * A question outside the domain is a mistake of the caller: RangeError.
 */

/**
 * The t that a Student variable with `degreesOfFreedom` stays below with probability `p`.
 * @example tQuantile(0.975, 10) // 2.228
 */
export function tQuantile(p: number, degreesOfFreedom: number): number {
  if (degreesOfFreedom === Infinity) return normalQuantile(p);
  return defined(studentQuantile(insideUnit(p), positive(degreesOfFreedom)), 't quantile');
}

/**
 * Probability that a Student variable with `degreesOfFreedom` is at most `t`.
 * @example tCdf(2.228, 10) // 0.975
 */
export function tCdf(t: number, degreesOfFreedom: number): number {
  if (degreesOfFreedom === Infinity) {
    const tail = (1 - chisquareCdf(t * t, 1)) / 2;
    return t < 0 ? tail : 1 - tail;
  }
  return defined(studentCdf(t, positive(degreesOfFreedom)), 't cdf');
}

/**
 * The standard normal quantile, as the signed root of a chi-square quantile with one degree of freedom.
 * @example normalQuantile(0.975) // 1.95996
 */
export function normalQuantile(p: number): number {
  const twoSided = Math.abs(2 * insideUnit(p) - 1);
  const size = twoSided === 0 ? 0 : Math.sqrt(chisquareQuantile(twoSided, 1));
  return defined(p < 0.5 ? -size : size, 'normal quantile');
}

/**
 * Probability that a chi-square variable is at most `x`. The p-value of a fit is 1 minus this.
 * @example chiSquareCdf(18.307, 10) // 0.95
 */
export function chiSquareCdf(x: number, degreesOfFreedom: number): number {
  return defined(chisquareCdf(x, positive(degreesOfFreedom)), 'chi-square cdf');
}

/**
 * @example chiSquareQuantile(0.95, 10) // 18.307
 */
export function chiSquareQuantile(p: number, degreesOfFreedom: number): number {
  return defined(chisquareQuantile(insideUnit(p), positive(degreesOfFreedom)), 'chi-square quantile');
}

/**
 * Probability that a ratio of variances is at most `f`. The numerator's degrees of freedom come first, the denominator's second
 * (a printed table that has them the other way round gives another number).
 * @example fCdf(2.7905, 6, 15) // 0.95
 */
export function fCdf(f: number, numeratorDf: number, denominatorDf: number): number {
  if (denominatorDf === Infinity) return chiSquareCdf(f * numeratorDf, numeratorDf);
  return defined(snedecorCdf(f, positive(numeratorDf), positive(denominatorDf)), 'F cdf');
}

/**
 * @example fQuantile(0.95, 6, 15) // 2.7905
 */
export function fQuantile(p: number, numeratorDf: number, denominatorDf: number): number {
  if (denominatorDf === Infinity) return chiSquareQuantile(p, numeratorDf) / numeratorDf;
  return defined(
    snedecorQuantile(insideUnit(p), positive(numeratorDf), positive(denominatorDf)),
    'F quantile',
  );
}

function insideUnit(p: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`a probability inside (0, 1) is needed, not ${p}`);
  return p;
}

function positive(degreesOfFreedom: number): number {
  if (!(degreesOfFreedom > 0 && degreesOfFreedom < Infinity)) {
    throw new RangeError(`positive finite degrees of freedom are needed, not ${degreesOfFreedom}`);
  }
  return degreesOfFreedom;
}

function defined(value: number, name: string): number {
  if (Number.isNaN(value)) throw new RangeError(`${name} is not defined there`);
  return value;
}
