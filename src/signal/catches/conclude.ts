import type { VoidReason, WithdrawnReason } from '../../base/because.ts';
import { classifyPour } from './classify.ts';
import { dripAfter } from './drip.ts';
import { likeliestRise_kg } from './find-steps.ts';
import { tellKnock } from './knock.ts';
import { limits } from './limits.ts';
import { type Listening, heldOnTheLine } from './listening.ts';
import { quantisationResonance } from './quantisation-resonance.ts';
import { type RunningFill, finished, jetPush_kg, refineStart, steadyPart } from './running-fill.ts';
import { steadyWithoutSteps } from './steady-without-steps.ts';

/**
 * The end of a pour: judged, and made into a catch. `settled_kg` null: the water was seen to stop, but not its level. Readings
 * after `seenUntil_s` are not the pail's any more.
 */
export function conclude(
  s: Listening,
  at_s: number,
  stop_s: number,
  settled_kg: number | null,
  voidBecause: VoidReason | null,
  seenUntil_s = at_s,
): void {
  const { fill, watch } = s;
  if (fill === null) return;
  tellKnock(s, at_s, fill, stop_s);
  if (voidBecause !== null) {
    closeAs(s, at_s, fill, stop_s, settled_kg, voidBecause, seenUntil_s);
    return;
  }
  const again = refineStart(watch, fill, stop_s);
  if (again !== null) fill.start_s = again;
  const opening = steadyPart(watch, fill.start_s, stop_s, 8);
  // Water only adds: a base above the line's own beginning was a hand on the pail.
  if (opening !== null)
    fill.before_kg = Math.min(
      fill.before_kg,
      opening.at_kg(fill.start_s) + watch.levelTolerance_kg(2, 0.005),
    );
  const { line: steady, steps } = steadyWithoutSteps(watch, fill.start_s, stop_s);
  const flow_kg_per_s = steady?.flow_kg_per_s ?? fill.flow_kg_per_s;
  const lasted_s = stop_s - fill.start_s;
  // A level that nobody saw tells nothing against the water.
  const expected_kg = flow_kg_per_s * lasted_s;
  const rise_kg =
    settled_kg === null ? expected_kg : likeliestRise_kg(settled_kg - fill.before_kg, steps, expected_kg);
  const verdict = classifyPour({
    lasted_s,
    flow_kg_per_s,
    crooked_kg: s.mayBend?.(fill.start_s) === true ? 0 : (steady?.crooked_kg ?? 0),
    rise_kg,
    endsOnSeenLevel: s.rests.seenAbove(settled_kg ?? NaN, fill.before_kg, watch.levelTolerance_kg(2, 0.003)),
    frozenFor_s: fill.frozenFor_s,
  });
  if (!verdict.water) {
    withdraw(s, at_s, fill, verdict.because);
    return;
  }
  fill.flow_kg_per_s = flow_kg_per_s;
  if (steps.length > 0) fill.warnings.add('wand-moved');
  if (steady !== null) checkResonance(s, fill, steady.residualRms_kg);
  const froze = s.frozenBefore || pushStillShown(s, fill, stop_s);
  if (froze) fill.warnings.add('display-froze');
  const seen = fill.startUnseen ? 'running-at-the-start' : verdict.voidBecause;
  const because = froze ? 'display-frozen' : seen;
  closeAs(s, at_s, fill, stop_s, settled_kg, because, seenUntil_s);
  s.closed = {
    start_s: fill.start_s,
    stop_s,
    before_kg: fill.before_kg,
    rise_kg,
    flow_kg_per_s,
    at_s,
    line: fill.lineBefore,
  };
}

function closeAs(
  s: Listening,
  at_s: number,
  fill: RunningFill,
  stop_s: number,
  settled_kg: number | null,
  voidBecause: VoidReason | null,
  seenUntil_s: number,
): void {
  const { times_s, masses_kg } = s.watch.history;
  const from = s.watch.history.indexAt(stop_s);
  const after = times_s.slice(from).map((time_s, i) => ({ time_s, mass_kg: masses_kg[from + i] ?? null }));
  const drip = settled_kg === null ? null : dripAfter(after, stop_s, seenUntil_s);
  const caught = finished(s.watch, fill, stop_s, settled_kg, drip, voidBecause);
  s.events.push({ kind: 'closed', at_s, caught });
  s.frozenBefore = false;
  const since_s = s.frozen.identicalSince_s;
  s.frozenWas = heldOnTheLine(s, fill, stop_s, since_s, s.frozen.held_kg)
    ? { flow_kg_per_s: fill.flow_kg_per_s, since_s }
    : null;
  s.fill = null;
}

/**
 * The water stopped, says the display, but the jet's push that came with it did not go with it, and nothing flickers: the display
 * stands still, and how long the water ran on nobody knows.
 */
function pushStillShown(s: Listening, fill: RunningFill, stop_s: number): boolean {
  const { identicalFor_s, identicalSince_s, held_kg } = s.frozen;
  if (identicalFor_s < limits.frozen_s || s.watch.readingPeriod_s > limits.pushSeenWithin_s) return false;
  // The start is known to a reading: that much water may look like a push.
  const least_kg =
    s.watch.levelTolerance_kg(3, limits.pushSeen_kg) + fill.flow_kg_per_s * s.watch.readingPeriod_s;
  if (jetPush_kg(s.watch, fill, stop_s) < least_kg) return false;
  return heldOnTheLine(s, fill, stop_s, identicalSince_s, held_kg);
}

function checkResonance(s: Listening, fill: RunningFill, residualRms_kg: number): void {
  const { step_kg, readingPeriod_s, period_s } = s.watch;
  // Blocks average readings: a reading's own noise is larger. The display's rounding is taken off.
  const single = residualRms_kg * Math.sqrt(Math.max(1, Math.round(period_s / readingPeriod_s)));
  const noise_kg = Math.sqrt(Math.max(0, single ** 2 - step_kg ** 2 / 12));
  if (quantisationResonance(fill.flow_kg_per_s, readingPeriod_s, step_kg, noise_kg))
    fill.warnings.add('quantisation-resonance');
}

function withdraw(s: Listening, at_s: number, fill: RunningFill, because: WithdrawnReason): void {
  s.events.push({ kind: 'withdrawn', at_s, start_s: fill.start_s, because });
  s.fill = null;
}
