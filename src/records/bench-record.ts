import type { AnalysedCatch, AnalysedCurve, RatedComparison } from '../analysis/sweep/analysis.ts';
import type { Absence, Warning, WithdrawnReason } from '../base/because.ts';
import type { InstrumentDescription } from '../signal/reading.ts';
import type { RigCheckFound } from '../analysis/diagnosis/evidence.ts';
import type { Envelope } from './envelope.ts';
import type { InstrumentCheckRecord } from './instrument-check.ts';
import type { SweepSetup } from './sweep-setup.ts';

/** Everything that is kept about measuring, one shape a kind. Written once, in the order it happened. */
export type BenchRecord =
  | SweepRecord
  | CatchRecord
  | CatchWithdrawnRecord
  | StrikeRecord
  | UndoStrikeRecord
  | SweepEndRecord
  | ByHandSweepRecord
  | InstrumentCheckRecord
  | RigCheckRecord
  | TipRecord;

export type RecordKind = BenchRecord['kind'];

/** "Go" was pressed: what the person told, and what was plugged in. */
export interface SweepRecord extends Envelope {
  readonly kind: 'sweep';
  readonly setup: SweepSetup;
  readonly instrument: InstrumentDescription;
  /** The header of the sweep's capture file, from its first line on, LF ends: header + kept lines = the file. */
  readonly captureHeader: string;
  /** The settings in the order they are visited, every catch its own entry. */
  readonly order_Pa: readonly number[];
  /** What the simulated bench was built with; null for a real one. */
  readonly trueNozzleConstant_m3_per_s_per_sqrtPa: number | null;
}

/** A catch closed as water, good or void. Its readings lie packed under this record's id (columns/). */
export interface CatchRecord extends Envelope {
  readonly kind: 'catch';
  /** 0-based number of the catch in its sweep. */
  readonly index: number;
  readonly start_s: number;
  readonly stop_s: number;
  readonly setting_Pa: number | null;
  /** What was shown at the time. Numbers to work with are recomputed from the readings. */
  readonly shown: AnalysedCatch;
  readonly estimatorVersion: string;
}

/** A catch kept earlier turned out not to be water. `replaces` names it. */
export interface CatchWithdrawnRecord extends Envelope {
  readonly kind: 'catch-withdrawn';
  readonly start_s: number;
  readonly because: WithdrawnReason;
}

/** The person wants a catch left out. The catch itself stays. */
export interface StrikeRecord extends Envelope {
  readonly kind: 'strike';
  /** `start_s` of the catch. */
  readonly start_s: number;
  /** Empty only where none was asked for (its number had not been seen). */
  readonly reason: string;
}

/** The struck catch counts again. `replaces` names the strike where it is known. */
export interface UndoStrikeRecord extends Envelope {
  readonly kind: 'undo-strike';
  readonly start_s: number;
}

export interface SweepEndRecord extends Envelope {
  readonly kind: 'sweep-end';
  readonly because: 'done' | 'ended-by-person';
  readonly shown: ShownResult;
  /**
   * The capture's marks, as its lines stand: what was announced, planned and checked, for the day when only packed readings are left.
   * Null: ended by a program that did not keep them.
   */
  readonly marks: string | null;
}

/** A sweep timed by thumb: no instrument, so one record holds all of it. */
export interface ByHandSweepRecord extends Envelope {
  readonly kind: 'by-hand-sweep';
  readonly setup: SweepSetup;
  readonly catches: readonly HandTimedCatch[];
  readonly shown: ShownResult;
}

export interface HandTimedCatch {
  readonly setting_Pa: number;
  readonly duration_s: number;
  readonly volume_m3: number;
  /** Distance between the pail's marks, as volume. */
  readonly markSpacing_m3: number;
}

/** One of the two-minute checks of a rig. `sweepId`: the sweep it followed, or its own id when it belongs to none. */
export interface RigCheckRecord extends Envelope {
  readonly kind: 'rig-check';
  /** As typed; rigs are told apart by `nameKey`. */
  readonly rigName: string;
  readonly found: RigCheckFound;
}

/** What a person knows of a tip beside its sweeps. The newest one of a name (`nameKey`) that stands counts. `sweepId`: its own id. */
export interface TipRecord extends Envelope {
  readonly kind: 'tip';
  readonly name: string;
  /** Size as ISO 10625 codes it; for the swatch. */
  readonly isoSize: string | null;
  /** Kept in a drawer, never sprayed with: what a rig is held against. */
  readonly drawer: boolean;
  readonly retired: boolean;
  readonly note: string;
  /** Sweeps that are its baseline; null: those that said so themselves (`occasion` new-tip). */
  readonly baselineSweepIds: readonly string[] | null;
  /** Checks so far off that it was asked whether they were of this tip, and what was answered. Absent: none. */
  readonly answered?: readonly TipAnswer[];
}

export interface TipAnswer {
  readonly sweepId: string;
  readonly isThisTip: boolean;
}

/** The curve as it stood on the screen, with the version that computed it. */
export interface ShownResult {
  readonly estimatorVersion: string;
  readonly curve: AnalysedCurve | null;
  readonly curveBecause: Absence | null;
  readonly nozzleConstantExpanded95_m3_per_s_per_sqrtPa: number | null;
  readonly rated: RatedComparison | null;
  readonly warnings: readonly Warning[];
}
