import { limits } from './limits.ts';
import { type Listening, tail } from './listening.ts';
import { type RunningFill, findStop, trimmedLineThrough } from './running-fill.ts';
import { refinedStop } from './settled-level.ts';

export interface SeenStop {
  readonly stop_s: number;
  /** Null when too little was seen of the level. */
  readonly settled_kg: number | null;
}

/**
 * Had the water stopped before `until_s`, the last reading that still was the pail's (it was lifted, or the scale tared)? Yes if the
 * level stood by then: long enough to be known, or so far below the fill's line that water was missing. Otherwise null.
 */
export function stoppedBefore(s: Listening, fill: RunningFill, until_s: number): SeenStop | null {
  // The stop that was told may itself have been drawn off by the fall; and one that was not told yet is close by.
  const told_s = s.state === 'settling' && fill.stop_s !== null ? refinedStop(s, fill, until_s) : null;
  const near_s = findStop(s.watch, until_s - limits.liftLooksBack_s, until_s + 1e-6);
  return standsAfter(s, fill, told_s, until_s, true) ?? standsAfter(s, fill, near_s, until_s, false);
}

function standsAfter(
  s: Listening,
  fill: RunningFill,
  stop_s: number | null,
  until_s: number,
  told: boolean,
): SeenStop | null {
  if (stop_s === null || stop_s <= fill.start_s || stop_s >= until_s) return null;
  const { watch } = s;
  const slope = watch.history.slope_kg_per_s(stop_s, until_s + 1e-6);
  const still = limits.stopBelow * fill.flow_kg_per_s;
  const settled_kg = tail(s, stop_s, until_s);
  if (settled_kg !== null && (told || (slope !== null && slope < still))) return { stop_s, settled_kg };
  // A hand that begins to lift makes the level fall: only one that stands tells of the water.
  if (slope === null || Math.abs(slope) > still) return null;
  const line = trimmedLineThrough(watch, Math.max(fill.start_s + 1, stop_s - 7), stop_s - s.filter_s - 0.1);
  if (line === null) return null;
  const short_kg = line.at_kg(until_s) - (watch.history.level_kg(until_s - 0.15, until_s + 1e-6) ?? Infinity);
  const least_kg = Math.max(
    limits.stopShort_s * line.flow_kg_per_s,
    1.5 * watch.step_kg,
    4 * line.residualSd_kg,
  );
  return short_kg < least_kg ? null : { stop_s, settled_kg: null };
}
