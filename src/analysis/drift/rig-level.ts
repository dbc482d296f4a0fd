import { median } from '../../base/statistics/median.ts';
import { lineAt, ordinaryLine } from '../../base/statistics/ordinary-line.ts';
import type { DriftChart } from './drift.ts';
import { asJump, beyondChance, MEDIAN_OVER_MEAN, type SharedMove } from './shared-jump.ts';

/** A move of so large a part of another, in the same direction, goes on with it: a ramp and no jump. */
const GOES_ON = 1 / 3;
/** So many weeks of one sign, one after the other, are a ramp. */
const WEEKS_OF_RAMP = 3;
/** Values that a line needs before a jump must stand off it. */
const FEWEST_FOR_LINE = 3;

/** What the rig does to all its tips, from a day on. */
interface Level {
  readonly from_ms: number;
  readonly level: number;
  readonly standardUncertainty: number;
  readonly jump: DriftChart['rigJumps'][number] | null;
}

/** One week in which two tips or more were checked. */
interface SharedWeek {
  readonly at_ms: number;
  /** Middle of the tips' deviations, without the level that each one's own baseline already had. */
  readonly middle: number;
  /** Null: the tips did not move together, or went back to where they were. */
  readonly move: number | null;
  readonly jumped: boolean;
}

/** Of one rig, as far as its chart has come; nothing is known before the first week. */
export interface RigLevel {
  levels: readonly Level[];
  readonly weeks: SharedWeek[];
  /** Some growth of all tips together was told from a jump. */
  movedAlike: boolean;
}

const none: Level = { from_ms: -Infinity, level: 0, standardUncertainty: 0, jump: null };

export function newRigLevel(): RigLevel {
  return { levels: [none], weeks: [], movedAlike: false };
}

/** What the rig adds to a check of a day, against a baseline of another day. */
export function heldAt({ levels }: RigLevel, at_ms: number, baseline_ms: number) {
  const [now, then] = [levelAt(levels, at_ms), levelAt(levels, baseline_ms)];
  const isSame = now.level === then.level;
  return {
    held: now.level - then.level,
    standardUncertainty: isSame ? 0 : Math.hypot(now.standardUncertainty, then.standardUncertainty),
  };
}

function levelAt(levels: readonly Level[], at_ms: number): Level {
  return levels.findLast(({ from_ms }) => from_ms <= at_ms) ?? none;
}

export interface WeekOfRig {
  readonly at_ms: number;
  /** Deviations from each tip's baseline, less the level that this baseline had. */
  readonly raw: readonly number[];
  readonly found: SharedMove | null;
  /** Of one check. */
  readonly standardDeviation: number;
  readonly degreesOfFreedom: number;
}

/**
 * What: carries the level of a rig through one more week. Once found, a jump holds at the size found; it ends when the tips come back
 *   nearer to a level that was before than to this one. Growth needs its own proof: it is beyond chance, stands off the straight line of
 *   the weeks since the last jump too, and is not the next step of a ramp: a second proven one straight after a first, or the third week
 *   of one sign, each a third of it or more. A ramp is never taken off, nor are its first weeks any longer: all tips wear alike, or the
 *   rig does something slowly, which no chart can tell.
 * @returns whether levels of earlier weeks were taken back, so that what rests on them is to be worked out again.
 */
export function nextWeekOfRig(rig: RigLevel, week: WeekOfRig): boolean {
  const { at_ms, found } = week;
  const now = rig.levels.at(-1)!;
  const middle = median(week.raw);
  const note = (jumped: boolean): void => {
    rig.weeks.push({ at_ms, middle, move: found?.move ?? null, jumped });
  };
  if (found === null) {
    note(false);
    return false;
  }
  const jump = { at_ms, ...asJump(found, week.degreesOfFreedom) };
  const back = earlierLevel(rig.levels, found, week.degreesOfFreedom);
  if (back !== null) {
    rig.levels = [...rig.levels, { ...back, from_ms: at_ms, jump }];
    // No step of a ramp: what comes after begins anew.
    rig.weeks.push({ at_ms, middle, move: null, jumped: false });
    return false;
  }
  if (!found.isProven) {
    note(false);
    return false;
  }
  const ramp = rampBefore(rig.weeks, found.move);
  if (ramp.length > 0) {
    rig.movedAlike = true;
    const from_ms = ramp[0]!.at_ms;
    const levels = rig.levels.filter((level) => level.from_ms < from_ms);
    const isTakenBack = levels.length < rig.levels.length;
    rig.levels = levels;
    note(true);
    return isTakenBack;
  }
  if (!standsOffLine(rig, week, middle)) {
    note(false);
    return false;
  }
  rig.levels = [
    ...rig.levels,
    {
      from_ms: at_ms,
      level: now.level + found.move,
      standardUncertainty: Math.hypot(now.standardUncertainty, found.standardUncertainty),
      jump,
    },
  ];
  note(true);
  return false;
}

/** That the tips went back to: nearer to it than to the present one, and no farther from it than chance. */
function earlierLevel(
  levels: readonly Level[],
  { move, standardUncertainty }: SharedMove,
  degreesOfFreedom: number,
): Level | null {
  const now = levels.at(-1)!;
  const nearest = levels
    .filter(({ level }) => level !== now.level)
    .map((level) => ({ level, away: Math.abs(move - (level.level - now.level)) }))
    .sort((a, b) => a.away - b.away)[0];
  if (nearest === undefined || !(nearest.away < Math.abs(move))) return null;
  return nearest.away <= beyondChance(degreesOfFreedom) * standardUncertainty ? nearest.level : null;
}

/** The weeks just before of which a move is the next step; none: it is no ramp. */
function rampBefore(weeks: readonly SharedWeek[], move: number): readonly SharedWeek[] {
  const goesOn = ({ move: before }: SharedWeek): boolean =>
    before !== null && before * move > 0 && Math.abs(before) >= GOES_ON * Math.abs(move);
  const first = weeks.findLastIndex((week) => !goesOn(week)) + 1;
  const before = weeks.slice(first);
  const isRamp = before.length >= WEEKS_OF_RAMP - 1 || before.at(-1)?.jumped === true;
  return isRamp ? before : [];
}

/** Off the line through the weeks since the last jump; of too few weeks nothing is asked. */
function standsOffLine(rig: RigLevel, week: WeekOfRig, middle: number): boolean {
  const from_ms = rig.levels.at(-1)!.from_ms;
  const since = rig.weeks.filter(({ at_ms }) => at_ms >= from_ms);
  if (since.length < FEWEST_FOR_LINE) return true;
  const line = ordinaryLine(
    since.map(({ at_ms }) => at_ms),
    since.map((one) => one.middle),
  );
  if (line === null) return true;
  const ahead = 1 + 1 / line.n + (week.at_ms - line.meanX) ** 2 / line.sxx;
  const ofMiddle = (week.standardDeviation * (week.raw.length === 2 ? 1 : MEDIAN_OVER_MEAN)) ** 2;
  const u = Math.sqrt((ofMiddle / week.raw.length) * ahead);
  return Math.abs(middle - lineAt(line, week.at_ms)) > beyondChance(week.degreesOfFreedom) * u;
}
