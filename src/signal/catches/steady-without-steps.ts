import { findSteps, steppedBy_kg, type Step } from './find-steps.ts';
import { steadyPart, straight, type Line } from './running-fill.ts';
import type { Watch } from './watch.ts';

/** A whole fill past its transients, as it would be without what rested on the rim meanwhile. */
export function steadyWithoutSteps(
  watch: Watch,
  start_s: number,
  stop_s: number,
): { readonly line: Line | null; readonly steps: readonly Step[] } {
  const { times_s, masses_kg, indexAt } = watch.history;
  const from = indexAt(start_s + 1);
  const to = indexAt(stop_s - 0.2);
  const steps = findSteps(times_s, masses_kg, from, to, watch.step_kg);
  if (steps.length === 0) return { line: steadyPart(watch, start_s, stop_s, 120), steps };
  const times = times_s.slice(from, to);
  const level = masses_kg.slice(from, to).map((kg, i) => kg - steppedBy_kg(steps, times[i] ?? 0));
  return { line: straight(times, level, 0, times.length, 2 * watch.step_kg), steps };
}
