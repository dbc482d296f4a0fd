/** The part of the set-up that says whether several tips, or the positions of a boom, take turns. */
import type { SweepSetup } from '../contract.ts';
import { fieldErrors } from '../wording/fields.ts';
import { nameKey } from '../../src/base/name-key.ts';
import { LONGEST_NAME, type SetupFieldName, type SetupFields } from './setup-fields.ts';

/** As the session asks (src/session/routine/check-routine.ts). */
const MOST_POSITIONS = 60;
export const MOST_CATCHES_OF_A_TIP = 60;
const MOST_OTHERS = 7;
export const LEAST_DIFFERENCE = 0.002;
export const MOST_DIFFERENCE = 0.5;

interface Checking {
  fail(field: SetupFieldName, message: string): null;
  name(field: 'otherTip'): string | null;
  whole(field: SetupFieldName, low: number, high: number): number | null;
  percent(field: SetupFieldName, low: number, high: number): number | null;
}

/** Null also where something is not right, which then stands by its field. */
export function checkRoutine(fields: SetupFields, checker: Checking): SweepSetup['routine'] {
  if (fields.routine === 'one-tip') return null;
  const holds = fields.rigKind === 'held' || fields.rigKind === 'hose-reel';
  if (!holds || fields.standsOnScale !== 'pail') return checker.fail('routine', fieldErrors.routineHeld);
  if (fields.routine === 'boom') {
    const positions = checker.whole('positions', 2, MOST_POSITIONS);
    return positions === null ? null : { kind: 'boom', positions };
  }
  if (fields.routine === 'bag') return checkBag(fields, checker);
  const name = checker.name('otherTip');
  const wantedDifference = checker.percent('difference', LEAST_DIFFERENCE, MOST_DIFFERENCE);
  if (name !== null && nameKey(name) === nameKey(fields.tipName))
    return checker.fail('otherTip', fieldErrors.sameTip(fields.tipName.trim(), name));
  if (name === null || wantedDifference === null) return null;
  const otherTip = { name, ratedFlow_m3_per_s: null, ratedPressure_Pa: null };
  return { kind: 'tip-against-tip', otherTip, wantedDifference };
}

function checkBag(fields: SetupFields, checker: Checking): SweepSetup['routine'] {
  const names = namesIn(fields.otherTip);
  if (names.length < 2 || names.length > MOST_OTHERS) return checker.fail('otherTip', fieldErrors.otherTips);
  const all = [fields.tipName.trim(), ...names];
  for (const [place, name] of all.entries()) {
    const first = all.slice(0, place).find((one) => nameKey(one) === nameKey(name));
    if (first !== undefined) return checker.fail('otherTip', fieldErrors.sameTip(first, name));
  }
  const long = names.find((name) => name.length > LONGEST_NAME);
  if (long !== undefined) return checker.fail('otherTip', fieldErrors.nameTooLong(LONGEST_NAME));
  const otherTips = names.map((name) => ({ name, ratedFlow_m3_per_s: null, ratedPressure_Pa: null }));
  return { kind: 'bag', otherTips };
}

/** Names with a comma or a semicolon between them. */
export function namesIn(text: string): string[] {
  return text
    .split(/[,;]/)
    .map((name) => name.trim())
    .filter((name) => name !== '');
}
