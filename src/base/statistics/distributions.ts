import chisquareCdf from '@stdlib/stats-base-dists-chisquare-cdf';
import snedecorCdf from '@stdlib/stats-base-dists-f-cdf';
import { invertIncreasing } from './invert-increasing.ts';

/*
 * The only file that names @stdlib, so that the distributions stay in the worker's chunk: the page must not import this,
 * nor anything that imports this. Only two of its functions are taken and the rest follows from them (t² with ν degrees of
 * freedom is F with 1 and ν; quantiles by inversion): its quantiles alone would be 14 kB gz more. Tests hold them against
 * @stdlib's own quantiles and against printed tables.
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
  if (degreesOfFreedom !== Infinity) positive(degreesOfFreedom);
  const twoSided = Math.abs(2 * insideUnit(p) - 1);
  if (twoSided === 0) return 0;
  const key = `${p} ${degreesOfFreedom}`;
  let size = remembered.get(key);
  if (size === undefined) {
    size = invertIncreasing((t) => fCdf(t * t, 1, degreesOfFreedom), twoSided, 2.5);
    if (remembered.size >= REMEMBERED) remembered.clear();
    remembered.set(key, size);
  }
  return p < 0.5 ? -size : size;
}

/** The running ± asks for the same few t many times a second. */
const remembered = new Map<string, number>();
const REMEMBERED = 500;

/**
 * Probability that a Student variable with `degreesOfFreedom` is at most `t`.
 * @example tCdf(2.228, 10) // 0.975
 */
export function tCdf(t: number, degreesOfFreedom: number): number {
  const within = fCdf(t * t, 1, degreesOfFreedom);
  return t < 0 ? (1 - within) / 2 : (1 + within) / 2;
}

/**
 * The standard normal quantile: Student's with endless degrees of freedom.
 * @example normalQuantile(0.975) // 1.95996
 */
export function normalQuantile(p: number): number {
  return tQuantile(p, Infinity);
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
  positive(degreesOfFreedom);
  return invertIncreasing((x) => chiSquareCdf(x, degreesOfFreedom), insideUnit(p), degreesOfFreedom);
}

/**
 * Probability that a ratio of variances is at most `f`. The numerator's degrees of freedom come first, the denominator's second
 * (a printed table that has them the other way round gives another number).
 * @example fCdf(2.7905, 6, 15) // 0.95
 */
export function fCdf(f: number, numeratorDf: number, denominatorDf: number): number {
  if (denominatorDf > AS_GOOD_AS_ENDLESS) return chiSquareCdf(f * numeratorDf, numeratorDf);
  return defined(snedecorCdf(f, positive(numeratorDf), positive(denominatorDf)), 'F cdf');
}

/**
 * @example fQuantile(0.95, 6, 15) // 2.7905
 */
export function fQuantile(p: number, numeratorDf: number, denominatorDf: number): number {
  positive(numeratorDf);
  if (denominatorDf !== Infinity) positive(denominatorDf);
  return invertIncreasing((f) => fCdf(f, numeratorDf, denominatorDf), insideUnit(p), 1);
}

/**
 * Beyond this the library's F loses its digits (at 1e20 it would make t = 90), while t differs from the normal by 2.4/ν: under 3e-7.
 * Welch-Satterthwaite gives such figures whenever the estimated part of an uncertainty is tiny.
 */
const AS_GOOD_AS_ENDLESS = 1e7;

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
