import type { Outcome } from '../../../src/base/outcome.ts';
import type { BenchRecord, CatchRecord, RecordKind } from '../../../src/records/bench-record.ts';
import type { CaptureChunk } from '../../../src/records/capture-chunk.ts';
import type { SweepSummary } from '../../../src/records/summary.ts';

/**
 * Where measured things are kept. Append-only: nothing is overwritten, a second record with the same id is refused.
 * Every answer is a value: `storage-full` (no room: go on measuring in memory and say so), `storage-newer`,
 * `storage-failed` (with `error` or `path` among the facts), `record-not-found`. Nothing here throws.
 * When an adding method has answered ok, the data outlives the process being killed.
 */
export interface BenchStore {
  /** Where it is kept; what is in memory is gone with the page. */
  readonly kind: 'database' | 'memory';
  /** Any record but one that brings readings. Checked against the strict schema first. */
  add(record: BenchRecord): Promise<Outcome<true>>;
  /** A catch and its packed reading columns: both are kept or neither. */
  addCatch(record: CatchRecord, columns: ArrayBuffer): Promise<Outcome<true>>;
  /** Raw capture lines of a sweep whose first record is already kept (else `record-not-found`). */
  addReadings(sweepId: string, chunk: CaptureChunk): Promise<Outcome<true>>;
  /** The sequence number the next chunk of this sweep must have; 0 for none yet. */
  nextSequence(sweepId: string): Promise<Outcome<number>>;
  /** Newest first. Reads no catches and no readings; a sweep that can't be read is listed with why. */
  sweeps(): Promise<Outcome<readonly SweepSummary[]>>;
  /** All records of a sweep in the order they were written. */
  records(sweepId: string): Promise<Outcome<readonly BenchRecord[]>>;
  /** All readable records of these kinds, of all sweeps, in the order they were written. What can't be read is left out and counted. */
  recordsOfKinds(
    kinds: readonly RecordKind[],
  ): Promise<Outcome<{ readonly records: readonly BenchRecord[]; readonly unreadable: number }>>;
  /** Kept chunks in order, a `!gap lines-lost` mark where some are missing; empty when pruned or by hand. */
  captureText(sweepId: string): Promise<Outcome<readonly string[]>>;
  /** The packed columns kept with a catch. */
  columns(catchId: string): Promise<Outcome<ArrayBuffer>>;
  /**
   * Lets go of raw lines but those of the `keep` sweeps begun last; besides, `running` and every sweep that never ended are
   * kept, however old: such a sweep can be taken up again, and only from its lines.
   * Records and packed columns are never let go of. Answers how many sweeps lost their raw lines.
   */
  pruneRaw(keep: number, running?: string): Promise<Outcome<number>>;
  close(): void;
}
