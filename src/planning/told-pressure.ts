/**
 * The pressure at which a result's flow is told first: the one the tip is rated for where the sweep reaches it, else the
 * middle one of the settings (of an even number the lower of the two), because there the curve is surest.
 * @param settings_Pa any order. @returns null without settings.
 */
export function toldPressure_Pa(
  settings_Pa: readonly number[],
  rated: { readonly ratedPressure_Pa: number } | null,
): number | null {
  if (rated !== null) return rated.ratedPressure_Pa;
  const sorted = [...settings_Pa].sort((a, b) => a - b);
  return sorted[Math.floor((sorted.length - 1) / 2)] ?? null;
}
