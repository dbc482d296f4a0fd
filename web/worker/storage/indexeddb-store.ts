import type { IDBPDatabase } from 'idb';
import { ok, refused, type Outcome } from '../../../src/base/outcome.ts';
import type { BenchRecord, CatchRecord, RecordKind } from '../../../src/records/bench-record.ts';
import { joinChunks, type CaptureChunk } from '../../../src/records/capture-chunk.ts';
import { parseRecord } from '../../../src/records/schemas/record.ts';
import type { BenchStore } from './bench-store.ts';
import type { BenchDatabase } from './database.ts';
import { readAll, readWhatCanBe, summariseAll } from './read-stored.ts';
import { storageRefusal } from './storage-refusal.ts';

const strict: IDBTransactionOptions = { durability: 'strict' };

/** Kinds read whole for the list of sweeps: few and small. Catches are only counted. */
const kindsOfTheList: readonly RecordKind[] = [
  'sweep',
  'by-hand-sweep',
  'sweep-end',
  'strike',
  'undo-strike',
];

/** The store over an open database. One strict transaction for each thing kept. */
export function indexedDbStore(database: IDBPDatabase<BenchDatabase>): BenchStore {
  return {
    kind: 'database',

    add: (record) =>
      outcome(async () => {
        const checked = parseRecord(record);
        if (!checked.ok) return checked;
        const transaction = database.transaction('records', 'readwrite', strict);
        await commit(transaction, () => transaction.store.add(checked.value));
        return ok(true);
      }),

    addCatch: (record: CatchRecord, columns) =>
      outcome(async () => {
        const checked = parseRecord(record);
        if (!checked.ok) return checked;
        const transaction = database.transaction(['records', 'columns'], 'readwrite', strict);
        await commit(
          transaction,
          () => transaction.objectStore('records').add(checked.value),
          () => transaction.objectStore('columns').add(columns, record.id),
        );
        return ok(true);
      }),

    addReadings: (sweepId, { sequence, text }: CaptureChunk) =>
      outcome(async () => {
        const transaction = database.transaction(['records', 'chunks'], 'readwrite', strict);
        if ((await transaction.objectStore('records').getKey(sweepId)) === undefined) {
          await transaction.done;
          return refused('record-not-found', { sweepId });
        }
        await commit(transaction, () => transaction.objectStore('chunks').add({ sweepId, sequence, text }));
        return ok(true);
      }),

    nextSequence: (sweepId) =>
      outcome(async () => {
        const { store } = database.transaction('chunks');
        const last = await store.openKeyCursor(chunksOf(sweepId), 'prev');
        return ok(last === null ? 0 : last.key[1] + 1);
      }),

    sweeps: () =>
      outcome(async () => {
        const { store } = database.transaction('records');
        const lists = await Promise.all(kindsOfTheList.map((kind) => store.index('byKind').getAll(kind)));
        // Corrections to catches too; those of the other kinds are among the lists already.
        const corrections = (await store.index('byReplaces').getAll()).filter(
          ({ kind }) => kind === 'catch' || kind === 'catch-withdrawn',
        );
        const stored = [...lists.flat(), ...corrections];
        const counted = [...new Set(stored.map((record) => record.sweepId))].map(
          async (sweepId) =>
            [sweepId, await store.index('byKindAndSweep').count(['catch', sweepId])] as const,
        );
        const counts = new Map(await Promise.all(counted));
        return ok(summariseAll(stored, (sweepId) => counts.get(sweepId) ?? 0));
      }),

    records: (sweepId) =>
      outcome(async () => {
        const stored = await database.getAllFromIndex('records', 'bySweep', sweepId);
        return stored.length === 0 ? refused('record-not-found', { sweepId }) : readAll(stored);
      }),

    recordsOfKinds: (kinds) =>
      outcome(async () => {
        const { store } = database.transaction('records');
        const lists = await Promise.all(kinds.map((kind) => store.index('byKind').getAll(kind)));
        return ok(readWhatCanBe(lists.flat()));
      }),

    captureText: (sweepId) =>
      outcome(async () => ok(joinChunks(await database.getAll('chunks', chunksOf(sweepId))).texts)),

    columns: (catchId) =>
      outcome(async () => {
        const columns = await database.get('columns', catchId);
        return columns === undefined ? refused('record-not-found', { catchId }) : ok(columns);
      }),

    pruneRaw: (keep, running) =>
      outcome(async () => {
        const transaction = database.transaction(['records', 'chunks'], 'readwrite', strict);
        const chunks = transaction.objectStore('chunks');
        const records = transaction.objectStore('records');
        const begun: { readonly record: BenchRecord; readonly ended: boolean }[] = [];
        const withoutRecord: string[] = [];
        // One step a sweep: from the first chunk of one jump past its last to the next sweep.
        for (
          let cursor = await chunks.openKeyCursor();
          cursor !== null;
          cursor = await cursor.continue([cursor.key[0], Infinity])
        ) {
          const sweepId = cursor.key[0];
          const record = await records.get(sweepId);
          const ends = await records.index('byKindAndSweep').count(['sweep-end', sweepId]);
          if (record === undefined) withoutRecord.push(sweepId);
          else begun.push({ record, ended: ends > 0 });
        }
        begun.sort(
          ({ record: a }, { record: b }) => b.recordedAt_ms - a.recordedAt_ms || (a.id < b.id ? 1 : -1),
        );
        const old = begun.slice(Math.max(0, keep)).filter(({ ended }) => ended);
        const leaving = [...old.map(({ record }) => record.id), ...withoutRecord].filter(
          (sweepId) => sweepId !== running,
        );
        await commit(transaction, ...leaving.map((sweepId) => () => chunks.delete(chunksOf(sweepId))));
        return ok(leaving.length);
      }),

    close: () => database.close(),
  };
}

function chunksOf(sweepId: string): IDBKeyRange {
  return IDBKeyRange.bound([sweepId, -Infinity], [sweepId, Infinity]);
}

interface Writing {
  readonly done: Promise<void>;
  abort(): void;
}

/**
 * Makes the requests and waits for the commit, which alone tells that the disk was full. All or nothing: a request that
 * can't even be made (a buffer given away, say) takes those before it down with it. No promise is left unhandled.
 */
async function commit(writing: Writing, ...requests: readonly (() => Promise<unknown>)[]): Promise<void> {
  const pending: Promise<unknown>[] = [];
  try {
    for (const request of requests) pending.push(request());
  } catch (error) {
    writing.abort();
    await Promise.allSettled([...pending, writing.done]);
    throw error;
  }
  // A request's own error is named better than the abort that follows from it, so it is looked for first.
  const results = await Promise.allSettled([...pending, writing.done]);
  const failed = results.find((result) => result.status === 'rejected');
  if (failed !== undefined) throw failed.reason;
}

/** Runs it and turns whatever is thrown into a refusal. */
async function outcome<T>(work: () => Promise<Outcome<T>>): Promise<Outcome<T>> {
  try {
    return await work();
  } catch (error) {
    return storageRefusal(error);
  }
}
