import { ok, refused, type Outcome } from '../../../src/base/outcome.ts';
import type { BenchStore } from './bench-store.ts';
import { DATABASE_NAME, openDatabase } from './database.ts';
import { indexedDbStore } from './indexeddb-store.ts';
import { memoryStore } from './memory-store.ts';

/** The store of this browser. Errors: `storage-newer` with both versions, `storage-failed` with `error`. */
export async function openStore(name = DATABASE_NAME): Promise<Outcome<BenchStore>> {
  // Absent in some private windows and in old embedded browsers; the types don't know.
  if ((globalThis as { indexedDB?: IDBFactory }).indexedDB === undefined) {
    return refused('storage-failed', { error: 'no-database' });
  }
  const database = await openDatabase(name);
  return database.ok ? ok(indexedDbStore(database.value)) : database;
}

/** As `openStore`, with the memory to fall back on: `storage` says why nothing outlives the page then. */
export async function openStoreOrMemory(
  name = DATABASE_NAME,
): Promise<{ readonly store: BenchStore; readonly storage: Outcome<true> }> {
  const opened = await openStore(name);
  return opened.ok ? { store: opened.value, storage: ok(true) } : { store: memoryStore(), storage: opened };
}
