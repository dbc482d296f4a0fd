import type { Absence, Warning } from '../../base/because.ts';
import { delayOfWear } from './delay.ts';
import { deviationOf, usualSettings_Pa } from './deviation.ts';
import type { Deviation, SweepFlows } from './deviation.ts';
import type { DriftChart, DriftPoint } from './drift.ts';
import { DRIFT_WEIGHT, ewmaSpread, nextEwma } from './ewma.ts';
import { forecastOf } from './forecast.ts';
import { FEWEST_DEGREES_OF_FREEDOM, limitWidth } from './limit-width.ts';
import { sharedJump } from './shared-jump.ts';
import { pooledSpread, scatterAboutLine, scatterAboutMean } from './weekly-spread.ts';
import type { WeeklySpread } from './weekly-spread.ts';

/** One tip on one rig: what its baseline is made of, and every later sweep of it there. */
export interface TipHistory {
  readonly key: string;
  /** At least one. */
  readonly baseline: readonly SweepFlows[];
  readonly checks: readonly SweepFlows[];
}

export interface DriftOptions {
  /** The trade's replacement habit over the baseline, as a preference; 1.10 if left out (check-values 3.1, 3.9). */
  readonly limitRatio?: number;
}

const WEEK_ms = 7 * 24 * 3600 * 1000;
/** Checks within this time of a round's first belong to the same week. */
const ROUND_ms = WEEK_ms / 2;
/** Sweeps of a baseline that limits need. */
const BASELINE_FOR_LIMITS = 3;
/** A flow so far from the last check asks whether this is the tip: less than the step from one usual tip size to the next. Judgement. */
const OTHER_TIP = 0.16;

/** What tips may wear by in a week without its being a jump of the rig: part of each change's doubt. Judgement, no source. */
const WEAR = 0.002;

interface Seen extends Deviation {
  readonly check: SweepFlows;
  readonly week: number;
  readonly state: TipState;
  readonly leftOut: Warning | null;
}

/** A tip as far as the chart has come. */
interface TipState {
  readonly tip: TipHistory;
  readonly baseline: readonly { readonly week: number; readonly value: number }[];
  readonly points: DriftPoint[];
  readonly warnings: Set<Warning>;
  /** Weeks and deviations without the rig's part, of every check that counts. */
  readonly counted: { readonly week: number; readonly value: number }[];
  /** Of those, what tells the spread. */
  readonly quiet: { readonly week: number; readonly value: number }[];
  last: { readonly week: number; readonly value: number; readonly standardUncertainty: number };
  average: number;
  signalled: boolean;
  /** Checks that count since the first with another instrument, and what that one shares with those after it. */
  otherInstrument: { readonly since: number; readonly u: number } | null;
}

/**
 * What: the control chart of every tip of one rig (measurement 7, 11.7): average of the deviations from the tip's own baseline, weight
 *   0.4, with limits from the rig's pooled spread by what was known before each check; so a point once drawn stays as it was.
 * Method: week by week. What all tips share since their last checks is the rig's and is taken off first (`shared-jump`), for as long as it
 *   lasts. A check so far from the last one that it may be another tip, or made with another instrument of which one was never checked,
 *   is a point that does not count. Limits need three sweeps in the baseline and a spread of 6 degrees of freedom.
 * @returns a chart a tip, by key. Errors: RangeError for a tip without baseline.
 */
export function driftOfRig(
  tips: readonly TipHistory[],
  options: DriftOptions = {},
): ReadonlyMap<string, DriftChart> {
  const limitRatio = options.limitRatio ?? 1.1;
  const states = tips.map(begin);
  const jumps: DriftChart['rigJumps'][number][] = [];
  let before = 0;
  for (const round of rounds(states)) {
    const jump = judgeRound(round, spreadOf(states), before);
    // A week in which one tip alone was checked tells nothing of the rig.
    if (round.length > 1) before = jump?.jump ?? 0;
    if (jump !== null) jumps.push({ at_ms: round[0]!.check.at_ms, ...jump });
  }
  const spread = spreadOf(states);
  return new Map(states.map((state) => [state.tip.key, chartOf(state, spread, jumps, limitRatio)]));
}

function begin(tip: TipHistory): TipState {
  const { baseline, checks } = tip;
  const middle_ms = middleOf(tip);
  const usual_Pa = usualSettings_Pa(checks.length > 0 ? checks : baseline);
  const values = baseline.flatMap((sweep) => {
    const off = deviationOf(sweep, baseline, usual_Pa);
    return off === null ? [] : [{ week: (sweep.at_ms - middle_ms) / WEEK_ms, value: off.relative }];
  });
  return {
    tip,
    baseline: values.sort((a, b) => a.week - b.week),
    points: [],
    warnings: new Set(),
    counted: [],
    quiet: [],
    last: { week: 0, value: 0, standardUncertainty: 0 },
    average: 0,
    signalled: false,
    otherInstrument: null,
  };
}

function middleOf({ baseline }: TipHistory): number {
  return baseline.reduce((sum, { at_ms }) => sum + at_ms, 0) / baseline.length;
}

function spreadOf(states: readonly TipState[]): WeeklySpread | null {
  return pooledSpread(
    states.flatMap(({ baseline, quiet }) => [
      scatterAboutMean(baseline.map(({ value }) => value)),
      scatterAboutLine(
        quiet.map(({ week }) => week),
        quiet.map(({ value }) => value),
      ),
    ]),
  );
}

/** The checks of all tips in the order of time, those of one week together; a tip that comes again begins a new week. */
function rounds(states: readonly TipState[]): readonly (readonly Seen[])[] {
  const all = states.flatMap((state) => {
    const { baseline, checks } = state.tip;
    const usual_Pa = usualSettings_Pa(checks);
    const middle_ms = middleOf(state.tip);
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

function judgeRound(round: readonly Seen[], spread: WeeklySpread | null, before: number) {
  const counting = round.filter(({ leftOut }) => leftOut === null);
  const isKnown = spread !== null && spread.degreesOfFreedom >= FEWEST_DEGREES_OF_FREEDOM;
  const changes = counting.map((seen) => {
    const { state, relative, standardUncertainty } = seen;
    // Against the mean of a baseline for the first check, against one other check after that.
    const share = state.counted.length === 0 ? 1 / state.tip.baseline.length : 1;
    const stated = Math.hypot(standardUncertainty, state.last.standardUncertainty);
    const s = (spread?.standardDeviation ?? 0) * Math.sqrt(1 + share);
    return {
      value: relative - state.last.value,
      standardDeviation: Math.hypot(isKnown ? s : Math.max(s, stated), WEAR * (seen.week - state.last.week)),
    };
  });
  const found = sharedJump(changes, isKnown ? spread.degreesOfFreedom : Infinity, before);
  const width = isKnown ? limitWidth(spread.degreesOfFreedom) : null;
  for (const seen of round) judge(seen, found?.jump ?? 0, counting.length > 1, spread, width);
  return found;
}

function judge(
  seen: Seen,
  jump: number,
  severalTips: boolean,
  spread: WeeklySpread | null,
  width: number | null,
): void {
  const { state, check, week, relative } = seen;
  const value = relative - jump;
  const asks = Math.abs(value - state.last.value) > OTHER_TIP && check.isThisTip !== true;
  const leftOutBecause = seen.leftOut ?? (asks ? 'is-this-the-tip' : null);
  if (leftOutBecause !== null || seen.otherInstrumentUncertainty > 0)
    // Answered "another tip": nothing is left to ask.
    if (check.isThisTip !== false) state.warnings.add(leftOutBecause ?? 'check-other-instrument');
  if (leftOutBecause === null) {
    state.average = nextEwma(state.average, value, DRIFT_WEIGHT);
    state.counted.push({ week, value });
    state.last = { week, value, standardUncertainty: seen.standardUncertainty };
    if (seen.otherInstrumentUncertainty > 0)
      state.otherInstrument ??= { since: state.counted.length, u: seen.otherInstrumentUncertainty };
  }
  const limit =
    width === null || spread === null || state.counted.length === 0 ? null : limitOf(state, spread, width);
  const signals = leftOutBecause === null && limit !== null && Math.abs(state.average) > limit;
  state.signalled ||= signals;
  // What the rig did says nothing of how checks scatter, nor does a tip that has changed.
  if (leftOutBecause === null && jump === 0 && !state.signalled) state.quiet.push({ week, value });
  state.points.push({
    sweepId: check.sweepId,
    at_ms: check.at_ms,
    week,
    deviation: relative,
    expandedUncertainty95: seen.expandedUncertainty95,
    average: state.average,
    limit,
    signals,
    sharedJump: severalTips && leftOutBecause === null ? jump : null,
    leftOutBecause,
  });
}

/** An instrument that is not the baseline's may be off by what both share, and its share of the average grows. */
function limitOf(state: TipState, spread: WeeklySpread, width: number): number | null {
  const sweeps = state.tip.baseline.length;
  if (sweeps < BASELINE_FOR_LIMITS) return null;
  const i = state.counted.length;
  const other = state.otherInstrument;
  const shared = other === null ? 0 : other.u * (1 - (1 - DRIFT_WEIGHT) ** (i - other.since + 1));
  return width * Math.hypot(spread.standardDeviation * ewmaSpread(DRIFT_WEIGHT, i, sweeps), shared);
}

function chartOf(
  state: TipState,
  spread: WeeklySpread | null,
  jumps: DriftChart['rigJumps'],
  limitRatio: number,
): DriftChart {
  const sweeps = state.tip.baseline.length;
  const width = spread === null ? null : limitWidth(spread.degreesOfFreedom);
  const limitsBecause = whyNoLimits(sweeps, width);
  const { forecast, because } = forecastOf(state.baseline, state.counted, spread, limitRatio - 1);
  const first_ms = state.points[0]?.at_ms ?? Infinity;
  const rigJumps = jumps.filter(({ at_ms }) => at_ms >= first_ms - ROUND_ms);
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
    warnings: [...state.warnings, ...(rigJumps.length > 0 ? (['rig-jumped'] as const) : [])],
  };
}

function whyNoLimits(sweeps: number, width: number | null): Absence | null {
  if (sweeps === 1) return 'baseline-of-one';
  if (sweeps < BASELINE_FOR_LIMITS) return 'baseline-of-two';
  return width === null ? 'spread-not-known-yet' : null;
}
