import type { Block } from './block-average.ts';
import { limits } from './limits.ts';
import { type Listening, goAway, liftedBelow_kg, restAt } from './listening.ts';
import { runsFromTheStart } from './running-at-the-start.ts';
import { arm, armAt } from './when-maybe.ts';

/** Quiet: the pail stands there, or it is away. Arms on a steep slope; hears lifts, knocks, and a closed catch that falls back. */
export function whenQuiet(s: Listening, block: Block): void {
  const { watch } = s;
  const { time_s: now, mass_kg } = block;
  const slope = watch.slope_kg_per_s;
  const threshold = watch.threshold_kg_per_s;
  const flat = watch.slopeKnown && Math.abs(slope) < threshold / 2;
  s.flatSince_s = flat ? (s.flatSince_s ?? now) : null;
  if (Math.abs(slope) < threshold * 1.5) watch.noteIdle();
  // A restless slope of few readings may never be flat for so long: a level that stays within its flicker rests as well.
  const flatLong = s.flatSince_s !== null && now - s.flatSince_s >= limits.restartQuiet_s;
  if (s.mustRest && !flatLong) {
    const range_kg = watch.range_kg(now, limits.restWithin_s);
    if (range_kg !== null && range_kg <= watch.levelTolerance_kg(2, 0.005))
      s.mustRest = s.neverRested = false;
  }
  if (flatLong) {
    s.mustRest = false;
    s.neverRested = false;
    // The display moves again and the level rests: whatever comes now is new water.
    s.frozenBefore = false;
    if (s.lowSince_s === null) {
      s.level_kg = watch.history.level_kg(Math.max(now - 1, watch.cleanFrom_s), now + 1e-6);
      if (s.level_kg !== null) s.rests.note(now, s.level_kg);
    }
  }
  if (s.closed !== null && fellBack(s, now, s.closed)) {
    s.events.push({
      kind: 'retracted',
      at_s: now,
      start_s: s.closed.start_s,
      because: 'pail-pushed',
    });
    s.closed = null;
  }
  if (isLifted(s, now, mass_kg) || runsFromTheStart(s, now)) return;
  if (s.knocks.push(watch, now) !== null && s.steepSince_s === null)
    s.events.push({ kind: 'bumped', at_s: now });
  if (slope < threshold || s.mustRest) s.steepSince_s = null;
  else {
    s.steepSince_s ??= now;
    const hold_s = slope > limits.pushLike_kg_per_s ? limits.armHoldPushLike_s : limits.armHold_s;
    if (now - s.steepSince_s >= hold_s && stillRises(s, now)) arm(s, now);
  }
}

/** A knock has a steep side too: it comes back to the old level, or has stopped rising by now. */
function stillRises(s: Listening, now: number): boolean {
  const { history } = s.watch;
  const recent = history.slope_kg_per_s(now - Math.max(0.6, 3.5 * s.watch.period_s), now + 1e-6);
  if (recent !== null && recent < s.watch.threshold_kg_per_s / 2) return false;
  const mass_kg = history.level_kg(now - 0.25, now + 1e-6);
  if (mass_kg === null || s.level_kg === null) return true;
  const over_kg = mass_kg - s.level_kg;
  const same_kg = s.watch.levelTolerance_kg(1.5, 0.0025);
  if (Math.abs(over_kg) <= same_kg) return false;
  return over_kg > 0 || now - s.fellUntil_s > 1.4;
}

function fellBack(
  s: Listening,
  now: number,
  closed: { start_s: number; before_kg: number; rise_kg: number; at_s: number },
): boolean {
  if (now - closed.at_s > limits.retractWithin_s) {
    s.closed = null;
    return false;
  }
  const level = s.watch.history.level_kg(now - limits.retractHold_s, now + 1e-6);
  const range = s.watch.range_kg(now, limits.retractHold_s);
  const tolerance = Math.max(s.watch.levelTolerance_kg(3, 0.006), 0.05 * closed.rise_kg);
  return (
    level !== null &&
    range !== null &&
    range <= tolerance &&
    Math.abs(level - closed.before_kg) <= tolerance &&
    tolerance < 0.5 * closed.rise_kg
  );
}

/** In quiet: has the pail been taken away (and not just a hand that leaned on it)? */
function isLifted(s: Listening, now: number, mass_kg: number): boolean {
  if (s.level_kg === null || mass_kg >= liftedBelow_kg(s, s.level_kg)) {
    s.lowSince_s = null;
    if (s.level_kg !== null && mass_kg < s.level_kg - limits.lift_kg) followDown(s, now);
    return false;
  }
  s.lowSince_s ??= now;
  const lowFor_s = now - s.lowSince_s;
  const range = s.watch.range_kg(now, 0.4);
  const steady = range !== null && range <= s.watch.levelTolerance_kg(2, 0.005);
  if (lowFor_s < limits.liftHold_s || (!steady && lowFor_s < 2)) return false;
  if (s.rests.stoodAt(mass_kg, s.watch.levelTolerance_kg(3, 0.008), now, 30)) {
    s.level_kg = mass_kg;
    s.lowSince_s = null;
    return false;
  }
  goAway(s, now, mass_kg);
  return true;
}

/** A hand went away and the pail stays: its level is the lower one, as soon as it is steady. */
function followDown(s: Listening, now: number): void {
  const range = s.watch.range_kg(now, limits.liftHold_s);
  if (range === null || range > s.watch.levelTolerance_kg(2, 0.005)) return;
  s.level_kg = s.watch.history.level_kg(now - limits.liftHold_s, now + 1e-6);
}

export function whenAway(s: Listening, block: Block): void {
  const { watch, away } = s;
  const now = block.time_s;
  const back = away?.push(watch, now, block.mass_kg) ?? null;
  if (away === null || back === null) return;
  const { rising } = back;
  const level_kg = rising === null ? back.level_kg : (rising.base_kg ?? away.empty_kg);
  s.events.push({ kind: 'replaced', at_s: now, level_kg });
  s.empty_kg = rising === null ? away.empty_kg : null;
  restAt(s, now, level_kg);
  if (rising === null) return;
  // Water that ran all the time has no start to be found; water that began on the resting level has.
  if (rising.from_s === null) s.mustRest = true;
  else armAt(s, now, rising.from_s);
}
