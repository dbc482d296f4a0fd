/** Under so many degrees of freedom points are drawn without limits (measurement 11.7). */
export const FEWEST_DEGREES_OF_FREEDOM = 6;

/** L by the degrees of freedom of s, for about 3.5 % false alarms a year with a baseline of three (measurement 11.7). */
const widths: readonly (readonly [degreesOfFreedom: number, width: number])[] = [
  [Infinity, 3.2],
  [40, 3.4],
  [20, 3.6],
  [10, 4.0],
  [6, 4.7],
  [4, 5.8],
];
/**
 * The study's s was estimated once for the year; ours is narrowed down week by week, and the wide limits of the first weeks and the narrow
 * later ones let through more together than either kept for a year (4.7 % with four tips). Taken off before looking up: then 3-4 %.
 */
const GROWING = 2;

/**
 * What: how many spreads the limits lie from the baseline, when the weekly standard deviation was estimated.
 * Method: between the study's figures linearly in 1/df, in which they lie nearly on a line. Null under 6: no limits then.
 * @example limitWidth(22) // 3.6
 */
export function limitWidth(degreesOfFreedom: number): number | null {
  if (!(degreesOfFreedom >= FEWEST_DEGREES_OF_FREEDOM)) return null;
  const inverse = 1 / (degreesOfFreedom - GROWING);
  for (let i = 1; i < widths.length; i++) {
    const [above, upper] = widths[i]!;
    if (inverse > 1 / above) continue;
    const [below, lower] = widths[i - 1]!;
    return lower + ((upper - lower) * (inverse - 1 / below)) / (1 / above - 1 / below);
  }
  return widths.at(-1)![1];
}
