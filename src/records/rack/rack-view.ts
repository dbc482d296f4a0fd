import type { SettingMean } from '../../analysis/sweep/analysis.ts';
import type { Diagnosis, SettlingTest } from '../../analysis/diagnosis/diagnosis.ts';
import type { Plumbing, RigCheckFound } from '../../analysis/diagnosis/evidence.ts';
import type { WandRatio } from '../../analysis/diagnosis/wand-ratio.ts';
import type { DriftChart } from '../../analysis/drift/drift.ts';
import type { NoTipOrRig, TipOrRig } from '../../analysis/tip-or-rig/tip-or-rig.ts';
import type { Absence, Warning } from '../../base/because.ts';
import type { CaughtAgainst } from './book.ts';
import type { TipAnswer } from '../bench-record.ts';
import type { SweepSetup } from '../sweep-setup.ts';

/** Every tip and every rig of the book. Plain data; SI. Simulated tips and measured ones of one name are two. */
export interface RackView {
  readonly tips: readonly RackTip[];
  readonly rigs: readonly RackRig[];
  /** Records that could not be read. */
  readonly unreadable: number;
}

export interface RackTip {
  /** `simulated` or `measured`, a colon, and the name's key. */
  readonly key: string;
  readonly name: string;
  readonly simulated: boolean;
  /** The rig of its newest sweep. */
  readonly rigName: string;
  readonly isoSize: string | null;
  readonly drawer: boolean;
  readonly retired: boolean;
  readonly note: string;
  readonly ratedFlow_m3_per_s: number | null;
  readonly ratedPressure_Pa: number | null;
  /** Newest first. */
  readonly sweeps: readonly RackSweep[];
  /** Those that the person said were of another tip, newest first: no part of anything else. Absent: none. */
  readonly notThisTip?: readonly RackSweep[];
  /** Sweeps in which it was caught against other tips, newest first; they are no curve of any of them. Absent: none. */
  readonly caughtAgainst?: readonly CaughtAgainst[];
  /** Of the newest sweep that has one with two settings or more; drawn small. */
  readonly curve: RackCurve | null;
  /** `TipFacts.baselineSweepIds` as the person last chose them, so that an edit of the other facts leaves them; null: nobody chose. */
  readonly baselineSweepIds: readonly string[] | null;
  readonly baseline: RackBaseline | null;
  readonly baselineBecause: Absence | null;
  /** Of the newest sweep that allows one. */
  readonly diagnosis: Diagnosis | null;
  readonly diagnosisBecause: Absence | null;
  readonly settledBy: readonly SettlingTest[];
  readonly drift: DriftChart | null;
  readonly driftBecause: Absence | null;
  readonly warnings: readonly Warning[];
}

export interface RackSweep {
  readonly sweepId: string;
  readonly at_ms: number;
  readonly timeZone: string;
  readonly rigName: string;
  readonly occasion: SweepSetup['occasion'];
  readonly timedByHand: boolean;
  readonly catches: number;
  readonly nozzleConstant_m3_per_s_per_sqrtPa: number | null;
  readonly nozzleConstantExpanded95_m3_per_s_per_sqrtPa: number | null;
  readonly settings: readonly SettingMean[];
}

export interface RackCurve {
  readonly sweepId: string;
  readonly pressures_Pa: readonly number[];
  readonly flow_m3_per_s: readonly number[];
  readonly bandHalfWidth_m3_per_s: readonly number[];
  readonly settings: readonly SettingMean[];
}

export interface RackBaseline {
  readonly nozzleConstant_m3_per_s_per_sqrtPa: number;
  readonly relativeStandardUncertainty: number;
  readonly sweepIds: readonly string[];
  readonly at_ms: number;
  readonly rigName: string;
  /** Plumbing of each of its sweeps as it was told then, and what was measured there. Absent in views made before it was kept. */
  readonly measuredOn?: readonly {
    readonly plumbing: Pick<Plumbing, 'gaugeAt' | 'hoseLength_m' | 'hoseBore_m' | 'tipAboveGauge_m'>;
    readonly points: readonly { readonly pressure_Pa: number; readonly flow_m3_per_s: number }[];
  }[];
  /** Pressure at the wand over the dial's, where a gauge was read there with one of its sweeps. */
  readonly wand?: WandRatio | null;
}

export interface RackRig {
  readonly key: string;
  readonly name: string;
  readonly simulated: boolean;
  readonly tips: readonly string[];
  /** The newest of each kind (of the wand gauge: of each setting). */
  readonly checks: readonly { readonly at_ms: number; readonly found: RigCheckFound }[];
  readonly tipOrRig: TipOrRig | NoTipOrRig;
}

/** What a person says of a tip; the rest is measured. */
export interface TipFacts {
  readonly name: string;
  readonly isoSize: string | null;
  readonly drawer: boolean;
  readonly retired: boolean;
  readonly note: string;
  readonly baselineSweepIds: readonly string[] | null;
  /** Answers to "is this the tip?"; those kept before stay, where the same sweep is not answered anew. Null: the answer is taken back. */
  readonly answered?: readonly (Omit<TipAnswer, 'isThisTip'> & { readonly isThisTip: boolean | null })[];
}
