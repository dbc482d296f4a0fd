/** Of a figure that was turned over from other units: one part in a million is no pressure. */
const SAME = 1 + 1e-6;

/** Whether a setting lies above what the weakest part is rated for; never where nobody told a rating. */
export function isAboveRating(setting_Pa: number, weakestRating_Pa: number | null): boolean {
  return weakestRating_Pa !== null && setting_Pa > weakestRating_Pa * SAME;
}
