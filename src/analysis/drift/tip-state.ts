import type { Warning } from '../../base/because.ts';
import { deviationOf, usualSettings_Pa } from './deviation.ts';
import type { Deviation, SweepFlows } from './deviation.ts';
import type { DriftPoint } from './drift.ts';
import { DRIFT_WEIGHT, nextEwma } from './ewma.ts';
import { heldAt, type RigLevel } from './rig-level.ts';

export const WEEK_ms = 7 * 24 * 3600 * 1000;

/** One tip on one rig: what its baseline is made of, and every later sweep of it there. */
export interface TipHistory {
  readonly key: string;
  /** At least one. */
  readonly baseline: readonly SweepFlows[];
  readonly checks: readonly SweepFlows[];
}

export interface Seen extends Deviation {
  readonly check: SweepFlows;
  readonly week: number;
  readonly state: TipState;
  readonly leftOut: Warning | null;
}

export interface Counted {
  readonly at_ms: number;
  readonly week: number;
  readonly relative: number;
  readonly standardUncertainty: number;
}

/** A tip as far as the chart has come. */
export interface TipState {
  readonly tip: TipHistory;
  readonly middle_ms: number;
  readonly baseline: readonly { readonly week: number; readonly value: number }[];
  readonly points: DriftPoint[];
  readonly warnings: Set<Warning>;
  /** Of every check that counts, as measured. */
  readonly counted: Counted[];
  /** Of those, what tells the spread; `held`: what the rig had jumped by, as each jump begins another line. */
  readonly quiet: { readonly week: number; readonly value: number; readonly held: number }[];
  last: { readonly week: number; readonly value: number; readonly standardUncertainty: number };
  average: number;
  /** What the rig's jumps were not known by, as far as it is in the average. */
  averageOfJumps: number;
  signalled: boolean;
  /** The last checks that were left out because they asked; two that agree answer. */
  asking: number | null;
  /** It changed by so much, and stayed. */
  stepped: boolean;
  /** Checks that count since the first with another instrument, and what that one shares with those after it. */
  otherInstrument: { readonly since: number; readonly u: number } | null;
}

export function begin(tip: TipHistory): TipState {
  const { baseline, checks } = tip;
  const middle_ms = middleOf(tip);
  const usual_Pa = usualSettings_Pa(checks.length > 0 ? checks : baseline);
  const values = baseline.flatMap((sweep) => {
    const off = deviationOf(sweep, baseline, usual_Pa);
    return off === null ? [] : [{ week: (sweep.at_ms - middle_ms) / WEEK_ms, value: off.relative }];
  });
  return {
    tip,
    middle_ms,
    baseline: values.sort((a, b) => a.week - b.week),
    points: [],
    warnings: new Set(),
    counted: [],
    quiet: [],
    last: { week: 0, value: 0, standardUncertainty: 0 },
    average: 0,
    averageOfJumps: 0,
    signalled: false,
    asking: null,
    stepped: false,
    otherInstrument: null,
  };
}

function middleOf({ baseline }: TipHistory): number {
  return baseline.reduce((sum, { at_ms }) => sum + at_ms, 0) / baseline.length;
}

/** The points drawn stay as they are; what comes after them rests on what is known now. */
export function averageAnew(state: TipState, rig: RigLevel): void {
  Object.assign(state, {
    average: 0,
    averageOfJumps: 0,
    last: { week: 0, value: 0, standardUncertainty: 0 },
  });
  for (const one of state.counted) count(state, one, rig);
}

/** A check goes into the average, without what the rig does to it. */
export function count(state: TipState, one: Counted, rig: RigLevel): void {
  const { held, standardUncertainty } = heldAt(rig, one.at_ms, state.middle_ms);
  const value = one.relative - held;
  state.average = nextEwma(state.average, value, DRIFT_WEIGHT);
  state.averageOfJumps = nextEwma(state.averageOfJumps, standardUncertainty, DRIFT_WEIGHT);
  state.last = { week: one.week, value, standardUncertainty: one.standardUncertainty };
}
