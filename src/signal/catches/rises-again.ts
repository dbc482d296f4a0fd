import { conclude } from './conclude.ts';
import { judgeInterruption } from './interruption.ts';
import { limits } from './limits.ts';
import { type Listening, restAt } from './listening.ts';
import type { RunningFill } from './running-fill.ts';
import { refinedStop, settledLevel } from './settled-level.ts';

/** After a stop the level rises again: the same catch within two seconds, else new water, or a hand. True when the state has changed. */
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
  const from_s = Math.max(fill.start_s + 0.8, fill.lineFrom_s, s.lowSince_s - 7);
  const told = judgeInterruption(s.watch, from_s, s.lowSince_s, now, fill.lineBefore);
  if (told !== null) {
    // Against the flow from before to now: the running slope may still carry the knock.
    const asBefore = recent / told.commonFlow_kg_per_s;
    const sameFlow = asBefore >= limits.againAbove && asBefore <= limits.againBelow;
    const stood_s = told.restart_s - told.stop_s;
    // A knock in between cuts the level's stretch short; the missing water still tells.
    const off_s = told.evidence > limits.offForSure ? Math.max(stood_s, told.missing_s) : stood_s;
    // Back on the old line: only a plateau of many readings outweighs that.
    const onLine = Math.abs(told.missing_s) < limits.onLine_s;
    const needed = onLine ? limits.offPerPlateau_s / s.watch.period_s : limits.offEvidence;
    const wasOff = told.evidence > needed && off_s > limits.againWithin_s - 0.1;
    const unsure =
      Math.abs(told.evidence - needed) < limits.offUnsure || Math.abs(off_s - limits.againWithin_s) < 0.4;
    // A wand taken off the rim: the same water, one jump lower, and no level that stood in between.
    const paceOfLine = recent / (fill.lineBefore?.flow_kg_per_s ?? fill.flow_kg_per_s);
    if (
      told.stepped < limits.steppedWorse_s / s.watch.period_s &&
      stood_s < limits.steppedStood_s &&
      s.watch.step_kg < limits.coarseStep_kg &&
      Math.abs(paceOfLine - 1) < limits.joinedPace
    ) {
      again(s, now);
      fill.lineFrom_s = told.restart_s + limits.steppedClear_s;
      fill.ignoreStopUntil_s = now + limits.stopHold_s;
      return true;
    }
    // Far above the line at the water's own pace: a hand that just comes to rest.
    if (!late && sameFlow && told.missing_s < -3) return false;
    if (!late && (unsure || !sameFlow)) return false;
    if (!wasOff && asBefore >= limits.againAtLeast && asBefore <= limits.againAtMost) {
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

export function again(s: Listening, now: number): void {
  s.state = 'filling';
  if (s.fill !== null) s.fill.stop_s = null;
  s.lowSince_s = s.steepSince_s = s.backSince_s = null;
  s.events.push({ kind: 'filling-again', at_s: now });
}
