import type { Absence, Warning } from '../../base/because.ts';
import { median } from '../../base/statistics/median.ts';
import { delayOfWear } from './delay.ts';
import { deviationOf, usualSettings_Pa } from './deviation.ts';
import type { SweepFlows } from './deviation.ts';
import type { DriftChart } from './drift.ts';
import { DRIFT_WEIGHT } from './ewma.ts';
import { forecastOf } from './forecast.ts';
import { BASELINE_FOR_LIMITS, judge } from './judge-check.ts';
import { FEWEST_DEGREES_OF_FREEDOM, limitWidth } from './limit-width.ts';
import { heldAt, newRigLevel, nextWeekOfRig, type RigLevel } from './rig-level.ts';
import { sharedMove } from './shared-jump.ts';
import { averageAnew, begin, WEEK_ms, type Seen, type TipHistory, type TipState } from './tip-state.ts';
import { pooledSpread, scatterAboutLine, scatterAboutMean } from './weekly-spread.ts';
import type { WeeklySpread } from './weekly-spread.ts';

export type { TipHistory } from './tip-state.ts';

export interface DriftOptions {
  /** The trade's replacement habit over the baseline, as a preference; 1.10 if left out (check-values 3.1, 3.9). */
  readonly limitRatio?: number;
}

/** Checks within this time of a round's first belong to the same week. */
const ROUND_ms = WEEK_ms / 2;
/** What tips may wear by in a week without its being a jump of the rig: part of each change's doubt. Judgement, no source. */
const WEAR = 0.002;

/**
 * What: the control chart of every tip of one rig (measurement 7, 11.7): average of the deviations from the tip's own baseline, weight
 *   0.4, with limits from the rig's pooled spread by what was known before each check; so a point once drawn stays as it was.
 * Method: week by week. What all tips jumped by together is the rig's and is taken off, at the size found, until it ends (`rig-level`); what
 *   all do week after week is not. A check so far from the last one that it may be another tip, or made with another instrument of which
 *   one was never checked, is a point that does not count; of the first kind, the next one that agrees with it does. Limits need three
 *   sweeps in the baseline and a spread of 6 degrees of freedom.
 * @returns a chart a tip, by key. Errors: RangeError for a tip without baseline.
 */
export function driftOfRig(
  tips: readonly TipHistory[],
  options: DriftOptions = {},
): ReadonlyMap<string, DriftChart> {
  const limitRatio = options.limitRatio ?? 1.1;
  const states = tips.map(begin);
  const rig = newRigLevel();
  for (const round of rounds(states)) judgeRound(round, states, rig);
  const spread = spreadOf(states);
  return new Map(
    states.map((state) => [state.tip.key, chartOf(state, spread, rig, movedAlike(states, rig), limitRatio)]),
  );
}

/** All that were last checked together lie beyond their limits on one side; no tip of them is told from the rig. */
function movedAlike(states: readonly TipState[], rig: RigLevel): boolean {
  const last = states.flatMap(
    ({ points }) => points.findLast(({ leftOutBecause }) => leftOutBecause === null) ?? [],
  );
  const newest_ms = Math.max(...last.map(({ at_ms }) => at_ms));
  const now = last.filter(({ at_ms }) => newest_ms - at_ms <= ROUND_ms);
  const isOneSided = [1, -1].some((side) =>
    now.every(({ signals, average }) => signals && side * average > 0),
  );
  return rig.movedAlike || (now.length > 1 && isOneSided);
}

function spreadOf(states: readonly TipState[]): WeeklySpread | null {
  return pooledSpread(
    states.flatMap(({ baseline, quiet }) => [
      scatterAboutMean(baseline.map(({ value }) => value)),
      ...[...new Set(quiet.map(({ held }) => held))].map((level) => {
        const there = quiet.filter(({ held }) => held === level);
        return scatterAboutLine(
          there.map(({ week }) => week),
          there.map(({ value }) => value),
        );
      }),
    ]),
  );
}

/** The checks of all tips in the order of time, those of one week together; a tip that comes again begins a new week. */
function rounds(states: readonly TipState[]): readonly (readonly Seen[])[] {
  const all = states.flatMap((state) => {
    const { baseline, checks } = state.tip;
    const usual_Pa = usualSettings_Pa(checks);
    const { middle_ms } = state;
    return checks.flatMap((check): Seen[] => {
      const deviation = deviationOf(check, baseline, usual_Pa);
      if (deviation === null) {
        state.warnings.add('check-outside-baseline');
        return [];
      }
      const week = (check.at_ms - middle_ms) / WEEK_ms;
      return [{ ...deviation, check, week, state, leftOut: leftOutBefore(check, baseline) }];
    });
  });
  all.sort((a, b) => a.check.at_ms - b.check.at_ms || (a.check.sweepId < b.check.sweepId ? -1 : 1));
  const found: Seen[][] = [];
  for (const seen of all) {
    const round = found.at(-1);
    const belongs =
      round !== undefined &&
      seen.check.at_ms - round[0]!.check.at_ms <= ROUND_ms &&
      !round.some(({ state }) => state === seen.state);
    if (belongs) round.push(seen);
    else found.push([seen]);
  }
  return found;
}

function leftOutBefore(check: SweepFlows, baseline: readonly SweepFlows[]): Warning | null {
  if (check.isThisTip === false) return 'is-this-the-tip';
  const isSame = baseline.every(({ instrument }) => instrument === check.instrument);
  const allChecked = check.instrumentChecked && baseline.every((sweep) => sweep.instrumentChecked);
  return isSame || allChecked ? null : 'check-other-instrument';
}

function judgeRound(round: readonly Seen[], states: readonly TipState[], rig: RigLevel): void {
  const spread = spreadOf(states);
  const counting = round.filter(({ leftOut }) => leftOut === null);
  const isKnown = spread !== null && spread.degreesOfFreedom >= FEWEST_DEGREES_OF_FREEDOM;
  const degreesOfFreedom = isKnown ? spread.degreesOfFreedom : Infinity;
  const at_ms = round[0]!.check.at_ms;
  // A week in which one tip alone was checked tells nothing of the rig.
  if (counting.length > 1) {
    const changes = counting.map((seen) => changeOf(seen, rig, spread, isKnown));
    const takenBack = nextWeekOfRig(rig, {
      at_ms,
      raw: counting.map(({ state, relative }) => relative + heldAt(rig, state.middle_ms, -Infinity).held),
      found: sharedMove(changes, degreesOfFreedom),
      // A change is of two checks.
      standardDeviation: median(changes.map(({ standardDeviation }) => standardDeviation)) / Math.SQRT2,
      degreesOfFreedom,
    });
    if (takenBack) for (const state of states) averageAnew(state, rig);
  }
  const width = isKnown ? limitWidth(spread.degreesOfFreedom) : null;
  for (const seen of round) judge(seen, rig, counting.length > 1, spread, width);
}

function changeOf(seen: Seen, rig: RigLevel, spread: WeeklySpread | null, isKnown: boolean) {
  const { state, relative, standardUncertainty, week, check } = seen;
  // Against the mean of a baseline for the first check, against one other check after that.
  const share = state.counted.length === 0 ? 1 / state.tip.baseline.length : 1;
  const stated = Math.hypot(standardUncertainty, state.last.standardUncertainty);
  const s = (spread?.standardDeviation ?? 0) * Math.sqrt(1 + share);
  return {
    value: relative - heldAt(rig, check.at_ms, state.middle_ms).held - state.last.value,
    standardDeviation: Math.hypot(isKnown ? s : Math.max(s, stated), WEAR * (week - state.last.week)),
  };
}

function chartOf(
  state: TipState,
  spread: WeeklySpread | null,
  rig: RigLevel,
  alike: boolean,
  limitRatio: number,
): DriftChart {
  const sweeps = state.tip.baseline.length;
  const width = spread === null ? null : limitWidth(spread.degreesOfFreedom);
  const limitsBecause = whyNoLimits(sweeps, width);
  const { forecast, because } = forecastOf(
    state.baseline,
    state.counted.map(({ at_ms, week, relative }) => ({
      week,
      value: relative - heldAt(rig, at_ms, state.middle_ms).held,
    })),
    spread,
    limitRatio - 1,
  );
  const first_ms = state.points[0]?.at_ms ?? Infinity;
  const rigJumps = rig.levels.flatMap(({ jump }) =>
    jump !== null && jump.at_ms >= first_ms - ROUND_ms ? [jump] : [],
  );
  return {
    points: state.points,
    baselineSweeps: sweeps,
    weight: DRIFT_WEIGHT,
    width,
    weeklyStandardDeviation: spread?.standardDeviation ?? null,
    degreesOfFreedom: spread?.degreesOfFreedom ?? 0,
    limitsBecause,
    delay_weeks:
      limitsBecause === null && width !== null && spread !== null
        ? delayOfWear(spread.standardDeviation, width, sweeps)
        : null,
    forecast,
    forecastBecause: because,
    limitRatio,
    rigJumps,
    warnings: [
      ...state.warnings,
      ...(rigJumps.length > 0 ? (['rig-jumped'] as const) : []),
      ...(alike ? (['tips-changed-alike'] as const) : []),
    ],
  };
}

function whyNoLimits(sweeps: number, width: number | null): Absence | null {
  if (sweeps === 1) return 'baseline-of-one';
  if (sweeps < BASELINE_FOR_LIMITS) return 'baseline-of-two';
  return width === null ? 'spread-not-known-yet' : null;
}
