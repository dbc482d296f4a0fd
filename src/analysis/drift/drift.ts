import type { Absence, Warning } from '../../base/because.ts';

/** One check on the chart. Relative to the baseline: 0 = as then, 0.02 = two per cent more. */
export interface DriftPoint {
  readonly sweepId: string;
  readonly at_ms: number;
  /** Weeks since the baseline's middle. */
  readonly week: number;
  /** As measured; nothing taken off. */
  readonly deviation: number;
  /** Of the deviation, from what the catches say of themselves; what the baseline brings is in it. */
  readonly expandedUncertainty95: number;
  /** Exponentially weighted, of the deviations without what the rig shares; of a point left out: as it was before. */
  readonly average: number;
  /** Half-width of the limits by what was known when the check was made; null: too few degrees of freedom to draw any. */
  readonly limit: number | null;
  readonly signals: boolean;
  /** What the rig had jumped by since the tip's baseline, as it was held then, taken off before judging the tip; null: none known, one tip checked. */
  readonly sharedJump: number | null;
  /** Why it is shown and does not count (no part of the average, the spread or the forecast); null: it counts. */
  readonly leftOutBecause: Warning | null;
  /** What the person answered when asked whether it is this tip; absent: nothing. */
  readonly isThisTip?: boolean;
}

export interface DriftChart {
  readonly points: readonly DriftPoint[];
  /** Sweeps in the baseline. */
  readonly baselineSweeps: number;
  readonly weight: number;
  readonly width: number | null;
  /** Of one check's deviation, pooled over all tips and weeks of the rig. */
  readonly weeklyStandardDeviation: number | null;
  readonly degreesOfFreedom: number;
  readonly limitsBecause: Absence | null;
  /** Weeks that a wear of half a per cent a week takes to be seen with this s (mean, and 90 % within). */
  readonly delay_weeks: { readonly mean: number; readonly ninetyPercent: number } | null;
  /** Week of the limit (+10 % unless chosen) and its 95 % interval; null with why. `latest` null: beyond ten years. */
  readonly forecast: {
    readonly week: number;
    readonly earliest: number;
    readonly latest: number | null;
    readonly perWeek: number;
  } | null;
  readonly forecastBecause: Absence | null;
  readonly limitRatio: number;
  /** Weeks in which all tips of the rig jumped together, and back: the rig's, not wear. Taken off from then on, at this size. */
  readonly rigJumps: readonly {
    readonly at_ms: number;
    readonly jump: number;
    readonly expandedUncertainty95: number;
    readonly tips: number;
  }[];
  readonly warnings: readonly Warning[];
}
