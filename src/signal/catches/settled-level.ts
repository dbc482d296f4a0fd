import { limits } from './limits.ts';
import type { Listening } from './listening.ts';
import { findStop, type RunningFill } from './running-fill.ts';

/**
 * Level after the stop: the flat end, or the time just after the stop if a hand has come between. Which of the two is water
 * is told by what must have flowed in.
 */
export function settledLevel(
  s: Listening,
  fill: RunningFill,
  stop_s: number,
  until_s: number,
): number | null {
  const { history } = s.watch;
  const from_s = stop_s + 0.4 + s.filter_s;
  const late = history.level_kg(Math.max(from_s, until_s - limits.flatFor_s), until_s + 1e-6);
  const early = history.level_kg(from_s, Math.min(from_s + 0.9, until_s));
  if (late === null || early === null) return late ?? early;
  const expected = fill.before_kg + fill.flow_kg_per_s * (stop_s - fill.start_s);
  const asExpected = Math.abs(late - expected) < 0.3 * (expected - fill.before_kg);
  if (asExpected && Math.abs(late - early) <= s.watch.levelTolerance_kg(3, 0.008)) return late;
  let best = late;
  for (let t = stop_s + 0.3; t < until_s - 0.4; t += 0.25) {
    const level = steadyLevel(s, t, t + 0.5);
    if (level !== null && Math.abs(level - expected) < Math.abs(best - expected)) best = level;
  }
  return best;
}

/** Median over a stretch in which the level hardly moved; null if it did: a level on its way down is none. */
function steadyLevel(s: Listening, from_s: number, to_s: number): number | null {
  const { masses_kg, indexAt, level_kg } = s.watch.history;
  const stretch = masses_kg.slice(indexAt(from_s), indexAt(to_s));
  const moved_kg = Math.max(...stretch) - Math.min(...stretch);
  return stretch.length < 2 || moved_kg > s.watch.levelTolerance_kg(2, 0.004) ? null : level_kg(from_s, to_s);
}

export function refinedStop(s: Listening, fill: RunningFill, until_s: number): number {
  const about_s = fill.stop_s ?? s.last_s;
  const search_s = limits.edgeSearch_s;
  const refined_s = findStop(s.watch, about_s - search_s, Math.min(until_s, about_s + search_s) + 1e-6);
  // Far from the first: a knock after the stop has drawn it there.
  return refined_s === null || Math.abs(refined_s - about_s) > 0.5 ? about_s : refined_s;
}
