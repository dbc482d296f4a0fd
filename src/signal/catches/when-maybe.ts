import type { Block } from './block-average.ts';
import { limits } from './limits.ts';
import { type Listening, toQuiet } from './listening.ts';
import { RunningFill, findStart, lowestBefore, type Line } from './running-fill.ts';

/** Maybe: the level rises; in three seconds it is known whether it goes on. */
export function arm(s: Listening, now: number): void {
  s.state = 'maybe';
  s.lowSince_s = null;
  s.crossed_s = s.steepSince_s ?? now;
  s.maybeStart_s = findStart(s.watch, Math.max(now - 3, s.fellUntil_s), now + 1e-6)?.start_s ?? now - 1;
  s.events.push({ kind: 'maybe', at_s: now, start_s: s.maybeStart_s });
}

/** The rise was recognised late, but it is known when it left the level. */
export function armAt(s: Listening, now: number, left_s: number): void {
  s.state = 'maybe';
  s.lowSince_s = null;
  s.crossed_s = left_s + 0.6;
  s.maybeStart_s = left_s;
  s.events.push({ kind: 'maybe', at_s: now, start_s: left_s });
}

export function whenMaybe(s: Listening, block: Block): void {
  const { watch } = s;
  const now = block.time_s;
  const threshold = watch.threshold_kg_per_s;
  s.lowSince_s = watch.slope_kg_per_s < threshold / 2 ? (s.lowSince_s ?? now) : null;
  if (s.lowSince_s !== null && now - s.lowSince_s >= limits.disarmHold_s) {
    s.events.push({ kind: 'maybe-not', at_s: now });
    toQuiet(s);
    return;
  }
  if (now - s.maybeStart_s < limits.confirmAfter_s) return;
  const slope = watch.history.slope_kg_per_s(now - limits.confirmSlope_s, now + 1e-6) ?? 0;
  if (slope < 0.8 * threshold) return;
  let start = findStart(
    watch,
    Math.max(s.maybeStart_s - limits.edgeSearch_s, s.fellUntil_s),
    s.maybeStart_s + limits.edgeSearch_s,
  );
  start ??= lowestBefore(watch, s.crossed_s);
  if (now - start.start_s < limits.confirmAfter_s) {
    s.maybeStart_s = start.start_s;
    return;
  }
  if (block.mass_kg - start.before_kg < Math.min(limits.confirmRise_kg, 3 * threshold)) {
    // What was taken for the base stood higher than the pail (a hand on it): its lowest level before the rise, then.
    const lowest = lowestBefore(watch, s.crossed_s);
    if (block.mass_kg - lowest.before_kg < Math.min(limits.confirmRise_kg, 3 * threshold)) return;
    start = lowest;
  }
  start = joined(s, now, start) ?? start;
  s.fill = new RunningFill(start.start_s, start.before_kg, slope);
  s.state = 'filling';
  s.lowSince_s = null;
  s.events.push({ kind: 'filling', at_s: now, start_s: start.start_s });
}

/** The catch that was just closed goes on: a knock or a flagging jet had looked like its stop. It is taken back and heard as one. */
function joined(
  s: Listening,
  now: number,
  start: { readonly start_s: number },
): { start_s: number; before_kg: number } | null {
  const { closed } = s;
  if (closed === null) return null;
  const off_s = start.start_s - closed.stop_s;
  const { line } = closed;
  const missing_s = line === null ? 0 : missingWater_s(s, now, line);
  const pace = s.watch.history.slope_kg_per_s(now - limits.confirmSlope_s, now + 1e-6);
  const change =
    pace === null
      ? Infinity
      : Math.min(
          Math.abs(pace / closed.flow_kg_per_s - 1),
          Math.abs(pace / (line?.flow_kg_per_s ?? Infinity) - 1),
        );
  // Hardly off at all; or all the water is there that would be there if it had run on; or, where edges are known well, as good as
  // not off and at the old pace: what is missing then was a weight on the rim.
  const hardlyOff = off_s <= limits.joinedWithin_s && missing_s <= limits.apartMissing_s;
  const ranOn =
    change < limits.joinedPace &&
    off_s <= limits.joinedLooksBack_s &&
    Math.abs(missing_s) < limits.joinedMissing_s;
  const within_s = change < limits.joinedPace ? limits.joinedStepped_s : 0;
  const stepped = off_s <= within_s && s.watch.step_kg < limits.coarseStep_kg;
  if (!hardlyOff && !ranOn && !stepped) return null;
  s.closed = null;
  s.events.push({ kind: 'retracted', at_s: now, start_s: closed.start_s, because: 'part-of-one-pour' });
  return { start_s: closed.start_s, before_kg: closed.before_kg };
}

/** How long the line before would have to have stood still to be where the level is now, s. */
function missingWater_s(s: Listening, now: number, line: Line): number {
  const level_kg = s.watch.history.level_kg(now - 0.5, now + 1e-6) ?? line.at_kg(now - 0.25);
  return (line.at_kg(now - 0.25) - level_kg) / line.flow_kg_per_s;
}
