import { ok, refused, type Outcome } from '../../../src/base/outcome.ts';
import type { BenchRecord } from '../../../src/records/bench-record.ts';
import { joinChunks, type CaptureChunk } from '../../../src/records/capture-chunk.ts';
import { parseRecord } from '../../../src/records/schemas/record.ts';
import type { BenchStore } from './bench-store.ts';
import { readAll, readWhatCanBe, summariseAll } from './read-stored.ts';

/** The same promises without a database: for browsers that give none, and for tests. Copies go in and copies come out. */
export function memoryStore(): BenchStore {
  const records = new Map<string, BenchRecord>();
  const columns = new Map<string, ArrayBuffer>();
  const chunks = new Map<string, Map<number, string>>();
  let closed = false;

  const answer = <T>(work: () => Outcome<T>): Promise<Outcome<T>> =>
    Promise.resolve(closed ? refused('storage-failed', { error: 'InvalidStateError' }) : work());

  const addRecord = (record: BenchRecord): Outcome<true> => {
    const checked = parseRecord(record);
    if (!checked.ok) return checked;
    if (records.has(record.id)) return alreadyThere();
    records.set(record.id, structuredClone(checked.value));
    return ok(true);
  };

  const addChunk = (sweepId: string, { sequence, text }: CaptureChunk): Outcome<true> => {
    if (!records.has(sweepId)) return refused('record-not-found', { sweepId });
    const ofSweep = chunks.get(sweepId) ?? new Map<number, string>();
    if (ofSweep.has(sequence)) return alreadyThere();
    chunks.set(sweepId, ofSweep.set(sequence, text));
    return ok(true);
  };

  return {
    kind: 'memory',
    add: (record) => answer(() => addRecord(record)),
    addCatch: (record, packed) =>
      answer(() => {
        if (columns.has(record.id)) return alreadyThere();
        const added = addRecord(record);
        if (added.ok) columns.set(record.id, packed.slice(0));
        return added;
      }),
    addReadings: (sweepId, chunk) => answer(() => addChunk(sweepId, chunk)),
    nextSequence: (sweepId) => answer(() => ok(Math.max(-1, ...(chunks.get(sweepId)?.keys() ?? [])) + 1)),
    sweeps: () =>
      answer(() => {
        const all = [...records.values()];
        const count = (sweepId: string) =>
          all.filter((record) => record.kind === 'catch' && record.sweepId === sweepId).length;
        return ok(summariseAll(all, count));
      }),
    records: (sweepId) =>
      answer(() => {
        const stored = [...records.values()].filter((record) => record.sweepId === sweepId);
        return stored.length === 0
          ? refused('record-not-found', { sweepId })
          : readAll(structuredClone(stored));
      }),
    recordsOfKinds: (kinds) =>
      answer(() =>
        ok(readWhatCanBe(structuredClone([...records.values()].filter(({ kind }) => kinds.includes(kind))))),
      ),
    captureText: (sweepId) =>
      answer(() => {
        const kept = [...(chunks.get(sweepId) ?? [])];
        return ok(joinChunks(kept.map(([sequence, text]) => ({ sequence, text }))).texts);
      }),
    columns: (catchId) =>
      answer(() => {
        const packed = columns.get(catchId);
        return packed === undefined ? refused('record-not-found', { catchId }) : ok(packed.slice(0));
      }),
    pruneRaw: (keep, running) =>
      answer(() => {
        const begun = [...chunks.keys()].map((sweepId) => records.get(sweepId)!);
        begun.sort((a, b) => b.recordedAt_ms - a.recordedAt_ms || (a.id < b.id ? 1 : -1));
        const ended = new Set(
          [...records.values()].filter(({ kind }) => kind === 'sweep-end').map(({ sweepId }) => sweepId),
        );
        const leaving = begun.slice(Math.max(0, keep)).filter(({ id }) => id !== running && ended.has(id));
        for (const { id } of leaving) chunks.delete(id);
        return ok(leaving.length);
      }),
    close: () => {
      closed = true;
    },
  };
}

function alreadyThere(): Outcome<never> {
  return refused('storage-failed', { error: 'ConstraintError', message: 'there is one with this key' });
}
