import { ok, refused } from '../../base/outcome.ts';
import type { Outcome } from '../../base/outcome.ts';

/** Repeats of one setting lie nearer to each other than this many standard uncertainties of the dial (99 % of neighbours of three). */
const APART_IN_U = 3;
/** And at least this share of the pressure: a regulator breathes. Judgement, no source. */
const APART_SHARE = 0.03;
/** Stretches that hang together over more than so many of those distances are no setting any more. */
const WIDEST = 3;

/**
 * What: which catches were of one setting, by the pressure that was read in each.
 * Method: pressures ascending; a step of more than 3 standard uncertainties of the dial, and more than 3 % of the pressure, begins a
 * new setting. Refused `settings-too-close` when a setting found so is wider than three such steps: settings run into each other there.
 * @param pressures_Pa mean of each catch, any order, all positive. @returns the setting of each, Pa: the mean of its group, whole kPa.
 * Errors: RangeError for a negative or non-finite uncertainty.
 * @example recogniseSettings([201e3, 203e3, 300e3], 5e3) // ok: [202000, 202000, 300000]
 */
export function recogniseSettings(
  pressures_Pa: readonly number[],
  dialStandardUncertainty_Pa: number,
): Outcome<readonly number[]> {
  if (!(dialStandardUncertainty_Pa >= 0 && Number.isFinite(dialStandardUncertainty_Pa)))
    throw new RangeError('a standard uncertainty is finite and not negative');
  const apart = (pressure_Pa: number): number =>
    Math.max(APART_IN_U * dialStandardUncertainty_Pa, APART_SHARE * pressure_Pa);
  const order = pressures_Pa.map((_, i) => i).sort((a, b) => pressures_Pa[a]! - pressures_Pa[b]!);
  const groups: number[][] = [];
  for (const index of order) {
    const last = groups.at(-1);
    const before = last === undefined ? -Infinity : pressures_Pa[last.at(-1)!]!;
    if (last === undefined || pressures_Pa[index]! - before > apart(before)) groups.push([index]);
    else last.push(index);
  }
  const settings = pressures_Pa.map(() => 0);
  for (const group of groups) {
    const [low, high] = [pressures_Pa[group[0]!]!, pressures_Pa[group.at(-1)!]!];
    if (high - low > WIDEST * apart(low))
      return refused('settings-too-close', { low_Pa: low, high_Pa: high });
    const mean = group.reduce((sum, i) => sum + pressures_Pa[i]!, 0) / group.length;
    for (const i of group) settings[i] = Math.round(mean / 1e3) * 1e3;
  }
  return ok(settings);
}

/**
 * Which planned setting a pressure is meant to be: the nearest, if it lies within three standard uncertainties of the dial or 5 % of it,
 * and not beyond 0.45 of the way to the next planned one. Null when none fits.
 */
export function nearestPlanned(
  pressure_Pa: number,
  planned_Pa: readonly number[],
  dialStandardUncertainty_Pa: number,
): number | null {
  let nearest: number | null = null;
  for (const planned of planned_Pa)
    if (nearest === null || Math.abs(planned - pressure_Pa) < Math.abs(nearest - pressure_Pa))
      nearest = planned;
  if (nearest === null) return null;
  const neighbour = Math.min(...planned_Pa.filter((p) => p !== nearest).map((p) => Math.abs(p - nearest)));
  const within = Math.min(Math.max(3 * dialStandardUncertainty_Pa, 0.05 * nearest), 0.45 * neighbour);
  return Math.abs(nearest - pressure_Pa) <= within ? nearest : null;
}
