import type { Absence, Warning } from '../../base/because.ts';

export interface WithInterval {
  readonly value: number;
  readonly standardUncertainty: number;
  /** Half-width, 95 %. */
  readonly expandedUncertainty95: number;
}

/**
 * A tip that was left out: its own curve bends in a way that is no change of its constant, and none that a rig makes here. `unexplained`:
 * none of the causes we know gives its curve.
 */
export interface LeftOutTip {
  readonly key: string;
  readonly shows: 'leaking' | 'pump-limited' | 'unexplained';
}

/**
 * What several tips of one rig say together (measurement 11.9): tip pressure = g(P + b) − cQ². With this rig's own baselines b, g and c are
 * changes since that day; with ratings they are absolute.
 */
export interface TipOrRig {
  readonly since: 'baseline' | 'absolute' | 'mixed';
  /** First and last day of the baselines, epoch ms; null when absolute. */
  readonly sinceFrom_ms: number | null;
  /** Offset of the dial, Pa: positive, the tip gets more than the dial says. */
  readonly offset_Pa: WithInterval;
  /** `apart`: sizes 2:1 or more. `combined`: one rig factor on all flows. */
  readonly told: 'apart' | 'combined';
  /** Factor on the pressure (g); null when combined. */
  readonly gain: WithInterval | null;
  /** Share of the pressure lost before the largest tip at its highest setting; null when combined. */
  readonly lostAtLargest: WithInterval | null;
  /** One factor on all flows (1 = none); null when apart. */
  readonly rigFactor: WithInterval | null;
  readonly tips: readonly {
    readonly key: string;
    /** Flow over the reference, as measured; then what is left for the tip once the rig's part is off. 1 = as the reference. */
    readonly deviation: WithInterval;
    readonly rigPart: WithInterval;
    readonly tipPart: WithInterval;
    /** The larger part, when the intervals allow it to be said. */
    readonly blame: 'tip' | 'rig' | 'neither' | 'cannot-tell';
    readonly isAnchor: boolean;
  }[];
  /** An anchor tip (drawer) or a wand gauge went in: what references share can't hide. */
  readonly anchored: 'drawer-tip' | 'wand-gauge' | null;
  readonly fit: { readonly chiSquare: number; readonly degreesOfFreedom: number; readonly pValue: number };
  readonly warnings: readonly Warning[];
  /** Absent: none was left out. */
  readonly leftOut?: readonly LeftOutTip[];
}

export interface NoTipOrRig {
  readonly because: Absence;
  readonly leftOut?: readonly LeftOutTip[];
}
