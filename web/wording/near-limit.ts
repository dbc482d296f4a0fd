/** A sound curve may still lie too near the limit against the stamp: what is said of that beside "no fault shown". */
import type { RatedComparison } from '../contract.ts';
import { fixed } from './number.ts';

/** The comparison with the stamp, by the person's own limit; null: none. */
export type Rated = Pick<RatedComparison, 'verdict' | 'limitRatio'> | null;

/** Not shown to be under the limit. */
export function isOpen(rated: Rated): rated is NonNullable<Rated> {
  return rated !== null && rated.verdict !== 'below-limit';
}

/** "it is too near the limit of 110 % of the stamp to tell yet" */
export function openText({ verdict, limitRatio }: NonNullable<Rated>): string {
  const limit = `the limit of ${fixed(limitRatio * 100, 0)} % of the stamp`;
  return verdict === 'above-limit' ? `it lies over ${limit}` : `it is too near ${limit} to tell yet`;
}
