import type { Block } from './block-average.ts';
import { conclude } from './conclude.ts';
import { limits } from './limits.ts';
import { type Listening, heldOnTheLine, restAt } from './listening.ts';
import { risesAgain } from './rises-again.ts';
import { refinedStop, settledLevel } from './settled-level.ts';
import type { RunningFill } from './running-fill.ts';
import { liftedFromFill } from './when-filling.ts';

/** Settling: wait for a flat level, or for the water to go on. */
export function whenSettling(s: Listening, block: Block): void {
  const { watch, fill } = s;
  if (fill === null || s.lowSince_s === null) return;
  const now = block.time_s;
  const slope = watch.slope_kg_per_s;
  if (liftedFromFill(s, now, block.mass_kg, fill)) return;
  if (risesAgain(s, now, slope, fill)) return;
  const flat = Math.abs(slope) < Math.max(watch.flat_kg_per_s, limits.flatOfFlow * fill.flow_kg_per_s);
  s.flatSince_s = flat ? (s.flatSince_s ?? now) : null;
  const sinceStop_s = now - (fill.stop_s ?? s.lowSince_s);
  const flatFor_s = s.flatSince_s === null ? 0 : now - s.flatSince_s;
  const done = flatFor_s >= limits.flatFor_s && sinceStop_s >= limits.closeAfter_s;
  if (sinceStop_s < limits.closeAtLast_s && (!done || maybeFrozen(s, now, fill))) return;
  const stop_s = refinedStop(s, fill, now);
  const level_kg = watch.history.level_kg(now - 0.5, now + 1e-6) ?? block.mass_kg;
  const settled_kg = settledLevel(s, fill, stop_s, now) ?? level_kg;
  conclude(s, now, stop_s, settled_kg, null);
  restAt(s, now, settled_kg);
  s.level_kg = level_kg;
}

/** No flicker and no fall of the jet's push since the last rising reading: perhaps only the display stands still. */
function maybeFrozen(s: Listening, now: number, fill: RunningFill): boolean {
  const since_s = s.frozen.identicalSince_s;
  const stop_s = fill.stop_s ?? since_s;
  if (now - stop_s > limits.frozenWait_s || since_s > stop_s + 0.25) return false;
  if (s.frozen.identicalFor_s < limits.frozen_s) return false;
  return heldOnTheLine(s, fill, stop_s, since_s, s.frozen.held_kg);
}
