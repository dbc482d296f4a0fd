import { nameKey } from '../../base/name-key.ts';
import { ok, refused, type Outcome, type Refusal } from '../../base/outcome.ts';
import type { SweepSetup, TipSetup } from '../sweep-setup.ts';

/** Smaller is lost in any small sprayer's own wander; larger is seen with the eye. Judgement, no source. */
const LEAST_DIFFERENCE = 0.002;
const MOST_DIFFERENCE = 0.5;
/** More nozzles than a boom that one person walks round with a pail has. Judgement, no source. */
const MOST_POSITIONS = 60;
/** Beside the first: more changes than anybody makes in one go. Judgement, no source. */
const MOST_OTHERS = 7;
/** Of each tip: at half a minute each that is an hour and a half. Judgement, no source. */
export const MOST_CATCHES_OF_A_TIP = 60;
/** A label stands in every mark and is spoken. */
const LONGEST_LABEL = 200;

/** Refuses a routine that can't be measured, naming the first fault; a sweep without one passes. */
export function checkRoutine(setup: SweepSetup): Outcome<true> {
  const { routine, tip, rig } = setup;
  if (routine === null) return ok(true);
  if (setup.settings_Pa.length !== 1 || setup.protocol !== 'each-catch' || setup.settingsFrom !== 'prompts')
    return refused('routine-needs-one-setting', { field: 'settings' });
  // Strokes and a falling pressure differ from catch to catch by more than two tips do.
  const holds = rig.kind === 'held' || rig.kind === 'hose-reel';
  if (!holds || rig.standsOnScale !== 'pail')
    return refused('routine-needs-held-pressure', { field: 'rigKind' });
  if (setup.catchesPerSetting > MOST_CATCHES_OF_A_TIP)
    return refused('number-not-understood', { field: 'catches' });
  if (routine.kind === 'boom') {
    const { positions } = routine;
    return Number.isInteger(positions) && positions >= 2 && positions <= MOST_POSITIONS
      ? ok(true)
      : refused('positions-absurd', { field: 'positions', least: 2, most: MOST_POSITIONS });
  }
  const others = routine.kind === 'bag' ? routine.otherTips : [routine.otherTip];
  if (routine.kind === 'bag' && (others.length < 2 || others.length > MOST_OTHERS))
    return refused('tips-too-few-or-many', { field: 'otherTip', least: 3, most: MOST_OTHERS + 1 });
  for (const other of others) {
    const fault = faultOf(other);
    if (fault !== null) return fault;
  }
  const names = [tip, ...others].map(({ name }) => name);
  if (new Set(names.map(nameKey)).size < names.length)
    return refused('same-tip-twice', { field: 'otherTip' });
  if (names.some((name) => name.length > LONGEST_LABEL))
    return refused('name-too-long', { field: 'otherTip', most: LONGEST_LABEL });
  if (routine.kind === 'bag') return ok(true);
  const { wantedDifference } = routine;
  if (!(wantedDifference >= LEAST_DIFFERENCE && wantedDifference <= MOST_DIFFERENCE))
    return refused('difference-absurd', {
      field: 'difference',
      least: LEAST_DIFFERENCE,
      most: MOST_DIFFERENCE,
    });
  return ok(true);
}

function faultOf({ name, ratedFlow_m3_per_s: flow, ratedPressure_Pa: pressure }: TipSetup): Refusal | null {
  if (name.trim() === '') return refused('name-missing', { field: 'otherTip' });
  if (flow !== null && !(flow > 0)) return refused('flow-not-positive', { flow_m3_per_s: flow });
  if (pressure !== null && !(pressure > 0)) return refused('setting-not-positive', { setting_Pa: pressure });
  return null;
}
