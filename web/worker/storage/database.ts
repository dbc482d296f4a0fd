import { openDB, type DBSchema, type IDBPDatabase, type IDBPTransaction, type StoreNames } from 'idb';
import { ok, refused, type Outcome, type Refusal } from '../../../src/base/outcome.ts';
import type { BenchRecord } from '../../../src/records/bench-record.ts';
import { storageRefusal } from './storage-refusal.ts';

export const DATABASE_NAME = 'catchbench';

/** The stores. What was written is read back through the upgraders of `src/records`, so values may be older than typed. */
export interface BenchDatabase extends DBSchema {
  records: {
    key: string;
    value: BenchRecord;
    indexes: {
      bySweep: string;
      byKind: string;
      byKindAndSweep: [string, string];
      /** Holds only records that replace one: null is no key. */
      byReplaces: string;
    };
  };
  /** Raw capture lines, key [sweepId, sequence]. */
  chunks: { key: [string, number]; value: { sweepId: string; sequence: number; text: string } };
  /** Packed reading columns, key: id of the catch. */
  columns: { key: string; value: ArrayBuffer };
}

type Migration = (
  database: IDBPDatabase<BenchDatabase>,
  transaction: IDBPTransaction<BenchDatabase, StoreNames<BenchDatabase>[], 'versionchange'>,
) => void;

/** `migrations[i]` brings the stores from version i to i + 1. Only ever added to; they move stores, never rewrite records. */
const migrations: readonly Migration[] = [
  (database) => {
    const records = database.createObjectStore('records', { keyPath: 'id' });
    records.createIndex('bySweep', 'sweepId');
    records.createIndex('byKind', 'kind');
    records.createIndex('byKindAndSweep', ['kind', 'sweepId']);
    records.createIndex('byReplaces', 'replaces');
    database.createObjectStore('chunks', { keyPath: ['sweepId', 'sequence'] });
    database.createObjectStore('columns');
  },
];

export const DATABASE_VERSION = migrations.length;

/**
 * How long an opening may take without an answer, ms. A page elsewhere that holds an older version, or a deletion under
 * way, keeps it waiting; only the first is told by an event, so the clock decides.
 */
const PATIENCE_MS = 10_000;

/**
 * Opens the database, bringing it up to date. A connection steps aside by itself when a newer version wants to upgrade.
 * Errors: `storage-newer` with both versions; `storage-failed` with `error` (`blocked`: no answer in time, most likely
 * another tab holds an older version).
 */
export async function openDatabase(
  name: string,
  patience_ms = PATIENCE_MS,
): Promise<Outcome<IDBPDatabase<BenchDatabase>>> {
  let clock: ReturnType<typeof setTimeout> | undefined;
  const tooLate = new Promise<Refusal>((resolve) => {
    clock = setTimeout(() => resolve(refused('storage-failed', { error: 'blocked' })), patience_ms);
  });
  try {
    const opening = openDB<BenchDatabase>(name, DATABASE_VERSION, {
      upgrade(database, from, _to, transaction) {
        // The way is free; from here it takes as long as it takes.
        clearTimeout(clock);
        for (const migrate of migrations.slice(from)) migrate(database, transaction);
      },
      blocking(_current, _wanted, event) {
        (event.target as IDBDatabase).close();
      },
    });
    const first = await Promise.race([opening, tooLate]);
    if (!('ok' in first)) return ok(first);
    // Don't let it hold the database when it opens after all.
    void opening.then(
      (database) => database.close(),
      () => undefined,
    );
    return first;
  } catch (error) {
    const refusal = storageRefusal(error);
    return refusal.facts?.['error'] === 'VersionError' ? await newerDatabase(name) : refusal;
  } finally {
    clearTimeout(clock);
  }
}

async function newerDatabase(name: string): Promise<Refusal> {
  try {
    const database = await openDB(name);
    const found_version = database.version;
    database.close();
    return refused('storage-newer', { found_version, known_version: DATABASE_VERSION });
  } catch (error) {
    return storageRefusal(error);
  }
}
