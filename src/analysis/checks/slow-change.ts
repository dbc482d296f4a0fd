import type { QuietLevel } from './quiet-level.ts';

/** Less than this share shown, and the display took the trickle for its own drift. Judgement, no source. */
const SWALLOWED_BELOW = 0.8;

/**
 * Some scales track their zero: what changes slower than about half a step a second is taken for drift and never shown, so a leak or a
 * drip is swallowed. Told by a slow trickle of a known amount between two quiet levels.
 * @returns the share that was shown, and whether that is too little beyond the levels' own ±.
 */
export function slowChange(
  before: QuietLevel,
  after: QuietLevel,
  trickled_kg: number,
): { readonly shownShare: number; readonly swallowed: boolean } {
  const shown_kg = after.mean_kg - before.mean_kg;
  const u_kg = Math.hypot(before.standardUncertainty_kg, after.standardUncertainty_kg);
  return {
    shownShare: shown_kg / trickled_kg,
    swallowed: shown_kg + 2 * u_kg < SWALLOWED_BELOW * trickled_kg,
  };
}
