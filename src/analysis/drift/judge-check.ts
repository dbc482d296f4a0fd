import { OTHER_TIP } from '../diagnosis/other-tip.ts';
import { DRIFT_WEIGHT, ewmaSpread } from './ewma.ts';
import { heldAt, type RigLevel } from './rig-level.ts';
import { count, type Seen, type TipState } from './tip-state.ts';
import type { WeeklySpread } from './weekly-spread.ts';

/** Sweeps of a baseline that limits need. */
export const BASELINE_FOR_LIMITS = 3;
/** So many standard deviations of their difference two checks may lie apart and still say the same. */
const STILL_THERE = 3.5;

/** One check becomes a point of its tip's chart, by what is known of the rig and of the spread then. */
export function judge(
  seen: Seen,
  rig: RigLevel,
  severalTips: boolean,
  spread: WeeklySpread | null,
  width: number | null,
): void {
  const { state, check, week, relative } = seen;
  const { at_ms } = check;
  const { held } = heldAt(rig, at_ms, state.middle_ms);
  const leftOutBecause =
    seen.leftOut ?? (asksAgain(seen, relative - held, spread) ? 'is-this-the-tip' : null);
  if (leftOutBecause !== null || seen.otherInstrumentUncertainty > 0)
    // Answered "another tip": nothing is left to ask.
    if (check.isThisTip !== false) state.warnings.add(leftOutBecause ?? 'check-other-instrument');
  if (leftOutBecause === null) {
    const one = { at_ms, week, relative, standardUncertainty: seen.standardUncertainty };
    state.counted.push(one);
    count(state, one, rig);
    if (seen.otherInstrumentUncertainty > 0)
      state.otherInstrument ??= { since: state.counted.length, u: seen.otherInstrumentUncertainty };
  }
  const limit =
    width === null || spread === null || state.counted.length === 0 ? null : limitOf(state, spread, width);
  const signals = leftOutBecause === null && limit !== null && Math.abs(state.average) > limit;
  state.signalled ||= signals;
  // A tip that has changed says nothing of how checks scatter.
  if (leftOutBecause === null && !state.signalled && !state.stepped)
    state.quiet.push({ week, value: relative, held });
  state.points.push({
    sweepId: check.sweepId,
    at_ms,
    week,
    deviation: relative,
    expandedUncertainty95: seen.expandedUncertainty95,
    average: state.average,
    limit,
    signals,
    sharedJump: leftOutBecause === null && (severalTips || held !== 0) ? held : null,
    leftOutBecause,
    ...(check.isThisTip === null ? {} : { isThisTip: check.isThisTip }),
  });
}

/** Far from the last check, and from the one left out before it: a real step, a blocked tip, is there again the next time. */
function asksAgain(
  { state, check, standardUncertainty }: Seen,
  value: number,
  spread: WeeklySpread | null,
): boolean {
  const before = state.asking;
  if (check.isThisTip !== null || Math.abs(value - state.last.value) <= OTHER_TIP) {
    state.asking = null;
    return false;
  }
  const u = Math.SQRT2 * Math.max(spread?.standardDeviation ?? 0, standardUncertainty);
  if (before !== null && Math.abs(value - before) <= Math.min(OTHER_TIP / 2, STILL_THERE * u)) {
    state.asking = null;
    state.stepped = true;
    return false;
  }
  state.asking = value;
  return true;
}

/** An instrument that is not the baseline's may be off by what both share, and its share of the average grows; so with a jump's size. */
function limitOf(state: TipState, spread: WeeklySpread, width: number): number | null {
  const sweeps = state.tip.baseline.length;
  if (sweeps < BASELINE_FOR_LIMITS) return null;
  const i = state.counted.length;
  const other = state.otherInstrument;
  const shared = other === null ? 0 : other.u * (1 - (1 - DRIFT_WEIGHT) ** (i - other.since + 1));
  const ofOne = spread.standardDeviation * ewmaSpread(DRIFT_WEIGHT, i, sweeps);
  return width * Math.hypot(ofOne, shared, state.averageOfJumps);
}
