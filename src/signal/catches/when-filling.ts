import type { Block } from './block-average.ts';
import { conclude } from './conclude.ts';
import { tellKnock } from './knock.ts';
import { lastBlockBeforeFall } from './lift.ts';
import { limits } from './limits.ts';
import { type Listening, goAway, liftedBelow_kg } from './listening.ts';
import { type Line, type RunningFill, findStop, trimmedLineThrough } from './running-fill.ts';
import { stoppedBefore } from './stopped-before.ts';

/** Filling: follow the slope, hear the stop, the knock and the lift. */
export function whenFilling(s: Listening, block: Block): void {
  const { watch, fill } = s;
  if (fill === null) return;
  const now = block.time_s;
  const slope = watch.slope_kg_per_s;
  if (liftedFromFill(s, now, block.mass_kg, fill)) return;
  if (slope >= (now - fill.start_s < 10 ? limits.stopBelow : limits.againAbove) * fill.flow_kg_per_s)
    fill.follow(watch, now);
  if (now - fill.start_s > 3.5 && now > fill.ignoreStopUntil_s + 1)
    fill.knocked_s ??= s.knocks.push(watch, now);
  tellKnock(s, now, fill);
  if (now < fill.ignoreStopUntil_s) return;
  // Steeper than s water can be: a push, which says neither that it runs nor that it has stopped.
  if (slope > limits.againBelow * fill.flow_kg_per_s) return;
  if (slope >= limits.stopBelow * fill.flow_kg_per_s) {
    s.lowSince_s = null;
    s.lowBlocks = 0;
    return;
  }
  if (s.lowSince_s === null) {
    s.lowSince_s = now;
    s.lowBlocks = 0;
  } else s.lowBlocks++;
  if (s.lowBlocks * watch.period_s < limits.stopHold_s - 0.4 * watch.period_s) return;
  const line = lineBefore(s, fill, s.lowSince_s);
  // Too early for a line: on a coarse display at least wait for the step that running water would make.
  if (line === null && s.lowBlocks * watch.period_s < (1.2 * watch.step_kg) / fill.flow_kg_per_s) return;
  if (line !== null) {
    // After a knock, or between two steps of a coarse display, the slope is low but the level is where it should be.
    const short_kg = line.at_kg(now) - (watch.history.level_kg(now - 0.3, now + 1e-6) ?? block.mass_kg);
    const gusts_kg = watch.patience > 1 ? 2.5 * line.residualSd_kg : 0;
    const onLine =
      short_kg < Math.max(limits.stopShort_s * line.flow_kg_per_s, 1.2 * watch.step_kg, gusts_kg);
    if (onLine && s.lowBlocks * watch.period_s < limits.stopForSure_s * watch.patience) return;
  }
  fill.lineBefore = line;
  const search_s = limits.edgeSearch_s + 0.5 * watch.window_s;
  fill.stop_s = findStop(watch, s.lowSince_s - search_s, now + 1e-6) ?? s.lowSince_s;
  s.state = 'settling';
  s.flatSince_s = s.steepSince_s = s.backSince_s = null;
  s.events.push({ kind: 'settling', at_s: now, stop_s: fill.stop_s });
}

function lineBefore(s: Listening, fill: RunningFill, low_s: number): Line | null {
  const to_s = low_s - 0.5 * s.watch.window_s;
  const from_s = Math.max(fill.start_s + 1, fill.lineFrom_s, to_s - 7);
  return to_s - from_s < 2 ? null : trimmedLineThrough(s.watch, from_s, to_s);
}

/** Below the fill's own base for half a second: nobody pours that. */
export function liftedFromFill(s: Listening, now: number, mass_kg: number, fill: RunningFill): boolean {
  if (mass_kg >= liftedBelow_kg(s, fill.before_kg)) {
    s.backSince_s = null;
    return false;
  }
  s.backSince_s ??= now;
  if (now - s.backSince_s < limits.liftHold_s) return true;
  const { watch } = s;
  const last = lastBlockBeforeFall(watch, fill.before_kg);
  const lift_s = watch.history.times_s[last] ?? now;
  const seen = stoppedBefore(s, fill, lift_s);
  if (seen !== null) {
    if (s.state === 'filling') s.events.push({ kind: 'settling', at_s: now, stop_s: seen.stop_s });
    conclude(s, now, seen.stop_s, seen.settled_kg, null, lift_s);
  } else conclude(s, now, lift_s, null, 'lifted-while-filling');
  goAway(s, now, mass_kg);
  return true;
}
