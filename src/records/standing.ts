import type {
  BenchRecord,
  ByHandSweepRecord,
  CatchRecord,
  StrikeRecord,
  SweepEndRecord,
  SweepRecord,
} from './bench-record.ts';

/** What a sweep's records come to when every correction has been applied. */
export interface StandingSweep {
  readonly sweep: SweepRecord | null;
  readonly byHand: ByHandSweepRecord | null;
  /** By `index`, then start; withdrawn and corrected ones are gone, void and struck ones are here. */
  readonly catches: readonly StandingCatch[];
  readonly end: SweepEndRecord | null;
}

export interface StandingCatch {
  readonly record: CatchRecord;
  /** The strike in force; null when the catch counts. */
  readonly strike: StrikeRecord | null;
}

/** A strike names its catch by start; written and read back through text it may differ by this much. */
const SAME_START_S = 0.001;

/** Order in which records were written: by clock, then by id (version 7 ids made in one millisecond ascend). */
export function byTime(a: BenchRecord, b: BenchRecord): number {
  return a.recordedAt_ms - b.recordedAt_ms || (a.id < b.id ? -1 : a.id > b.id ? 1 : 0);
}

/** The records of one sweep, in any order → what stands. The result doesn't depend on the order given. */
export function standing(records: readonly BenchRecord[]): StandingSweep {
  const replaced = new Set<string>();
  for (const record of records) if (record.replaces !== null) replaced.add(record.replaces);
  const written = [...records].sort(byTime);
  let sweep: SweepRecord | null = null;
  let byHand: ByHandSweepRecord | null = null;
  let end: SweepEndRecord | null = null;
  const catches: CatchRecord[] = [];
  for (const record of written) {
    if (replaced.has(record.id)) continue;
    if (record.kind === 'sweep') sweep = record;
    else if (record.kind === 'by-hand-sweep') byHand = record;
    else if (record.kind === 'sweep-end') end = record;
    else if (record.kind === 'catch') catches.push(record);
  }
  catches.sort((a, b) => a.index - b.index || a.start_s - b.start_s);
  const strikes = standingStrikes(written);
  return {
    sweep,
    byHand,
    end,
    catches: catches.map((record) => ({
      record,
      strike: strikes.find((strike) => isSameStart(strike.start_s, record.start_s)) ?? null,
    })),
  };
}

/** Strikes in force: of the strikes and undone strikes at one start, the last word counts. Any order is taken. */
export function standingStrikes(records: readonly BenchRecord[]): readonly StrikeRecord[] {
  let standing: StrikeRecord[] = [];
  for (const record of [...records].sort(byTime)) {
    if (record.kind !== 'strike' && record.kind !== 'undo-strike') continue;
    standing = standing.filter((strike) => !isSameStart(strike.start_s, record.start_s));
    if (record.kind === 'strike') standing.push(record);
  }
  return standing;
}

function isSameStart(a_s: number, b_s: number): boolean {
  return Math.abs(a_s - b_s) <= SAME_START_S;
}
