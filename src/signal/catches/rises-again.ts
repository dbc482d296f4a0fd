import { conclude } from './conclude.ts';
import { limits } from './limits.ts';
import { type Listening, restAt } from './listening.ts';
import type { RunningFill } from './running-fill.ts';
import { refinedStop, settledLevel } from './when-settling.ts';

/** After a stop the level rises again: the same water, new water, or a hand? */
/** Water again: the same catch within two seconds, else a new one. True when the state has changed. */
export function risesAgain(s: Listening, now: number, slope: number, fill: RunningFill): boolean {
  if (s.lowSince_s === null) return false;
  if (slope < s.watch.threshold_kg_per_s) {
    s.steepSince_s = null;
    return false;
  }
  s.steepSince_s ??= now;
  if (now - s.steepSince_s < limits.riseHold_s) return false;
  // A knock or a hand rises too, but not for so long and not at the water's own pace.
  const risen_s = now - s.steepSince_s;
  if (risen_s < limits.againHold_s) return false;
  const late = risen_s >= 2 * limits.againHold_s;
  const span_s = late ? 2.5 : Math.max(limits.againSlope_s, 0.8 * s.watch.window_s);
  const recent = s.watch.history.slope_kg_per_s(now - span_s, now + 1e-6) ?? 0;
  const asBefore = recent / fill.flow_kg_per_s;
  const sameFlow = asBefore >= limits.againAbove && asBefore <= limits.againBelow;
  const seen_s = s.steepSince_s - s.lowSince_s;
  const off_s = wasOffFor_s(s, now, fill, seen_s);
  const within_s = limits.againWithin_s;
  if (seen_s <= within_s + 1.2 * s.watch.window_s && off_s < 1.6 * within_s) {
    const unsure = off_s > 0.6 * within_s || off_s < -0.5 * within_s || !sameFlow;
    if (!late && unsure) return false;
    if (off_s <= within_s && off_s >= -within_s && asBefore >= 0.4 && asBefore <= 2.2) {
      again(s, now);
      return true;
    }
  }
  if (recent < s.watch.threshold_kg_per_s) return false;
  const steep_s = s.steepSince_s;
  const stop_s = refinedStop(s, fill, steep_s - 0.3);
  const settled_kg =
    settledLevel(s, fill, stop_s, steep_s - 0.4) ??
    s.watch.history.level_kg(stop_s + 0.3, steep_s) ??
    fill.before_kg;
  conclude(s, now, stop_s, settled_kg, null);
  restAt(s, now, settled_kg);
  s.steepSince_s = steep_s;
  return true;
}

/**
 * For how long the water was really off, s: what is missing against the line before, whatever the slope's window made of the
 * edges. Without a line (a fill that had just begun) by the chord from before to now. `seen_s` if neither can be had.
 */
function wasOffFor_s(s: Listening, now: number, fill: RunningFill, seen_s: number): number {
  const { history } = s.watch;
  const level_kg = history.level_kg(now - 0.3, now + 1e-6);
  if (level_kg === null || s.lowSince_s === null) return seen_s;
  const from_s = Math.max(fill.start_s + 0.6, s.lowSince_s - 7);
  const to_s = s.lowSince_s - 0.5 * s.watch.window_s;
  const before_kg = history.level_kg(from_s, to_s);
  const flow = history.slope_kg_per_s((s.steepSince_s ?? now) - 0.3, now + 1e-6) ?? 0;
  const byChord =
    before_kg === null || flow <= 0 ? null : now - 0.15 - (from_s + to_s) / 2 - (level_kg - before_kg) / flow;
  if (fill.lineBefore === null) return byChord ?? seen_s;
  const byLine = (fill.lineBefore.at_kg(now - 0.15) - level_kg) / fill.lineBefore.flow_kg_per_s;
  return byChord === null ? byLine : (byLine + byChord) / 2;
}

export function again(s: Listening, now: number): void {
  s.state = 'filling';
  if (s.fill !== null) s.fill.stop_s = null;
  s.lowSince_s = s.steepSince_s = s.backSince_s = null;
  s.events.push({ kind: 'filling-again', at_s: now });
}
