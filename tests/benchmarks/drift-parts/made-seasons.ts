import { driftOfRig, type TipHistory } from '../../../src/analysis/drift/drift-of-rig.ts';
import type { SweepFlows } from '../../../src/analysis/drift/deviation.ts';
import { DRIFT_WEIGHT, ewmaSpread, nextEwma } from '../../../src/analysis/drift/ewma.ts';
import type { DriftChart } from '../../../src/analysis/drift/drift.ts';
import { Random } from '../../../src/simulation/random.ts';

export const WEEK_ms = 7 * 24 * 3600 * 1000;
export const BASELINE = 3;
const DAY_ms = WEEK_ms / 7;
const FLOW = 2.5e-5;

/** A sweep at one setting whose flow lies `deviation` off; nothing but that one number is told, nothing is shared. */
export function madeSweep(sweepId: string, at_ms: number, deviation: number): SweepFlows {
  return {
    sweepId,
    at_ms,
    settings: [
      {
        setting_Pa: 275790,
        flow_m3_per_s: FLOW * (1 + deviation),
        ownRelativeStandardUncertainty: 0.005,
        ownDegreesOfFreedom: Infinity,
      },
    ],
    shared: [],
    flowFrom: 'mass',
    day: String(at_ms),
    instrument: 'one scale',
    instrumentChecked: true,
    isThisTip: null,
  };
}

/** `wear(tip, week)`: true deviation; `rig(week)`: what all share. Baseline of three on the days before week 0. */
export function madeRig(options: {
  readonly tips: number;
  readonly weeks: number;
  readonly standardDeviation: number;
  readonly random: Random;
  readonly baseline?: number;
  readonly wear?: (tip: number, week: number) => number;
  readonly rig?: (week: number) => number;
}): readonly TipHistory[] {
  const { tips, weeks, standardDeviation: s, random, wear, rig } = options;
  const baseline = options.baseline ?? BASELINE;
  return Array.from({ length: tips }, (_, tip) => ({
    key: `tip ${tip}`,
    baseline: Array.from({ length: baseline }, (_, j) =>
      madeSweep(`b${tip}-${j}`, (j - (baseline - 1) / 2) * DAY_ms, s * random.normal()),
    ),
    checks: Array.from({ length: weeks }, (_, i) =>
      madeSweep(
        `c${tip}-${i}`,
        (i + 1) * WEEK_ms,
        s * random.normal() + (wear?.(tip, i + 1) ?? 0) + (rig?.(i + 1) ?? 0),
      ),
    ),
  }));
}

export interface Delays {
  readonly mean: number;
  readonly ninetyPercent: number;
  readonly neverPercent: number;
  readonly withinFiveWeeksPercent: number;
}

/** Of runs whose first signal came in week `w` after the wear began; Infinity: never. */
export function delays(found: readonly number[]): Delays {
  const seen = found.filter((w) => w < Infinity).sort((a, b) => a - b);
  const sorted = [...found].sort((a, b) => a - b);
  return {
    mean: seen.reduce((sum, w) => sum + w, 0) / seen.length,
    ninetyPercent: sorted[Math.ceil(0.9 * sorted.length) - 1]!,
    neverPercent: (100 * (found.length - seen.length)) / found.length,
    withinFiveWeeksPercent: (100 * found.filter((w) => w <= 5).length) / found.length,
  };
}

/** The chart of the study: s is known, the baseline is the mean of three, or known. @returns weeks of the first signal, Infinity: none. */
export function knownSpread(
  random: Random,
  chart: { readonly weight: number; readonly width: number; readonly baseline: number },
  weeks: number,
  wearFrom: number,
  perWeekInS: number,
): number {
  const { weight, width, baseline } = chart;
  const level = baseline === Infinity ? 0 : random.normal() / Math.sqrt(baseline);
  let average = 0;
  for (let i = 1; i <= weeks; i++) {
    const wear = perWeekInS * Math.max(0, i - wearFrom);
    average = nextEwma(average, wear + random.normal() - level, weight);
    // A false alarm before the wear began is another table's.
    if (i > wearFrom && Math.abs(average) > width * ewmaSpread(weight, i, baseline)) return i - wearFrom;
  }
  return Infinity;
}

export interface EstimatedScore {
  readonly tips: number;
  readonly runs: number;
  /** Of all tips and runs: a signal in 52 weeks without any wear. */
  readonly falseAlarmPercent: number;
  /** A week said to be the rig's though nothing was: of all weeks. */
  readonly falseRigJumpPercent: number;
  readonly weeksWithoutLimits: number;
  readonly halfPercentAWeek: Delays;
}

/** The chart of this program: s estimated from the rig's own tips and weeks. One of the tips wears by half a per cent from a week on. */
export function estimatedSpread(
  tips: number,
  runs: number,
  seed: number,
  standardDeviation = 0.005,
  wearFrom = 12,
): EstimatedScore {
  const random = new Random(seed);
  let alarms = 0;
  let jumps = 0;
  let without = 0;
  const found: number[] = [];
  for (let run = 0; run < runs; run++) {
    const quiet = charts(
      madeRig({ tips, weeks: 52, standardDeviation, random: random.stream(`quiet ${run}`) }),
    );
    alarms += quiet.filter((chart) => firstSignal(chart, 0) < Infinity).length;
    jumps += quiet[0]!.rigJumps.length;
    without += quiet[0]!.points.filter(({ limit }) => limit === null).length;
    const worn = charts(
      madeRig({
        tips,
        weeks: wearFrom + 30,
        standardDeviation,
        random: random.stream(`worn ${run}`),
        wear: (tip, week) => (tip === 0 ? 0.005 * Math.max(0, week - wearFrom) : 0),
      }),
    );
    found.push(firstSignal(worn[0]!, wearFrom));
  }
  return {
    tips,
    runs,
    falseAlarmPercent: (100 * alarms) / (runs * tips),
    falseRigJumpPercent: (100 * jumps) / (runs * 52),
    weeksWithoutLimits: without / runs,
    halfPercentAWeek: delays(found),
  };
}

function charts(tips: readonly TipHistory[]): readonly DriftChart[] {
  return [...driftOfRig(tips).values()];
}

/** Weeks from `after` to the first signal behind it. */
export function firstSignal({ points }: DriftChart, after: number): number {
  const at = points.findIndex(({ signals }, i) => i >= after && signals);
  return at < 0 ? Infinity : at + 1 - after;
}

export const studyChart = { weight: DRIFT_WEIGHT, width: 3.2, baseline: BASELINE } as const;
