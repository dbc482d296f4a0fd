import { tQuantile } from '../../base/statistics/distributions.ts';
import type { Ratio } from './tips-compared.ts';

/**
 * What: a ratio of two flows with its 95 % interval, from the logarithm of it.
 * Formula: [e^(d − tu), e^(d + tu)], t with `degreesOfFreedom`; the half-width printed is the larger of the two sides, so that
 *   ratio ± it holds the interval.
 * @param difference ln of the ratio; @param standardUncertainty of that logarithm (relative).
 * Errors: RangeError for degrees of freedom that are not above zero.
 */
export function ratioOf(difference: number, standardUncertainty: number, degreesOfFreedom: number): Ratio {
  const half = halfWidth(standardUncertainty, degreesOfFreedom);
  const ratio = Math.exp(difference);
  return {
    ratio,
    relativeStandardUncertainty: standardUncertainty,
    degreesOfFreedom,
    expandedUncertainty95: ratio * Math.expm1(half),
    verdict: Math.abs(difference) > half ? 'different' : 'none-seen',
    largestDifference: Math.max(
      Math.abs(Math.expm1(difference + half)),
      Math.abs(Math.expm1(difference - half)),
    ),
  };
}

/** Half-width, 95 %, of a number with this standard uncertainty; 0 for none. */
export function halfWidth(standardUncertainty: number, degreesOfFreedom: number): number {
  return standardUncertainty === 0 ? 0 : tQuantile(0.975, degreesOfFreedom) * standardUncertainty;
}

export interface OneDoubt {
  readonly standardUncertainty: number;
  readonly degreesOfFreedom: number;
}

/**
 * What repeats show, or what the single catches claim: whichever gives the wider interval. An interval from repeats alone is exact
 * however little was claimed (measurement 6); never below what was claimed, for a few repeats can agree by luck (2.3). Null: nothing
 * is claimed.
 */
export function widerDoubt(shown: OneDoubt, claimed: OneDoubt | null): OneDoubt {
  if (claimed === null) return shown;
  const ofShown = halfWidth(shown.standardUncertainty, shown.degreesOfFreedom);
  return ofShown >= halfWidth(claimed.standardUncertainty, claimed.degreesOfFreedom) ? shown : claimed;
}
