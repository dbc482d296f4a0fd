import { ok, type Outcome } from '../../../src/base/outcome.ts';
import type { BenchRecord } from '../../../src/records/bench-record.ts';
import { byTime } from '../../../src/records/standing.ts';
import { summarise, summariseUnreadable, type SweepSummary } from '../../../src/records/summary.ts';
import { readRecord } from '../../../src/records/upgrades/upgrade-record.ts';

/** Stored records of one sweep, in any order → read and in the order they were written; the first that can't be read refuses all. */
export function readAll(stored: readonly unknown[]): Outcome<readonly BenchRecord[]> {
  const records: BenchRecord[] = [];
  for (const value of stored) {
    const record = readRecord(value);
    if (!record.ok) return { ...record, facts: { ...record.facts, recordId: idOf(value) } };
    records.push(record.value);
  }
  return ok(records.sort(byTime));
}

/** One line a sweep out of records of several sweeps. `stored` may leave out catches that replace nothing. */
export function summariseAll(
  stored: readonly { readonly sweepId: string }[],
  catchesOf: (sweepId: string) => number,
): readonly SweepSummary[] {
  const bySweep = new Map<string, { readonly sweepId: string }[]>();
  for (const record of stored) {
    const list = bySweep.get(record.sweepId);
    if (list === undefined) bySweep.set(record.sweepId, [record]);
    else list.push(record);
  }
  const summaries: SweepSummary[] = [];
  for (const [sweepId, list] of bySweep) {
    const records = readAll(list);
    const summary = records.ok
      ? summarise(records.value, catchesOf(sweepId))
      : summariseUnreadable(sweepId, list.find((record) => idOf(record) === sweepId) ?? list[0], records);
    if (summary !== null) summaries.push(summary);
  }
  return summaries.sort(newestFirst);
}

function newestFirst(a: SweepSummary, b: SweepSummary): number {
  return b.startedAt_ms - a.startedAt_ms || (a.sweepId < b.sweepId ? 1 : -1);
}

function idOf(stored: unknown): string {
  const id: unknown = typeof stored === 'object' && stored !== null && 'id' in stored ? stored.id : '';
  return typeof id === 'string' ? id : '';
}

/** Stored records, each for itself: one that can't be read takes none of the others with it. */
export function readWhatCanBe(stored: readonly unknown[]): {
  readonly records: readonly BenchRecord[];
  readonly unreadable: number;
} {
  const read = stored.map(readRecord);
  const records = read.flatMap((record) => (record.ok ? [record.value] : []));
  return { records: records.sort(byTime), unreadable: read.length - records.length };
}
