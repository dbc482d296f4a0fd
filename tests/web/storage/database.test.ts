import { RECORD_VERSION } from '../../../src/records/envelope.ts';
import 'fake-indexeddb/auto';
import { deleteDB, openDB } from 'idb';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { DATABASE_VERSION, openDatabase } from '../../../web/worker/storage/database.ts';
import { openStore, openStoreOrMemory } from '../../../web/worker/storage/open-store.ts';
import { storageRefusal } from '../../../web/worker/storage/storage-refusal.ts';
import { aCatch, anId, aSweep } from '../../records/build-records.ts';

afterEach(() => {
  vi.unstubAllGlobals();
  vi.restoreAllMocks();
});

async function opened(name: string) {
  const store = await openStore(name);
  if (!store.ok) throw new Error(JSON.stringify(store));
  return store.value;
}

const chunk = (sequence: number) => ({ sequence, text: `${sequence}.0000\t512.0 g\n` });

describe('the database', () => {
  it('has everything again when it is opened beside a handle that was never closed', async () => {
    const killed = await opened('killed');
    await killed.add(aSweep(1));
    await killed.addCatch(aCatch(2, 1, 0), new Uint8Array([1, 2, 3]).buffer);
    await killed.addReadings(anId(1), chunk(0));
    const again = await opened('killed');
    expect(await again.records(anId(1))).toEqual({ ok: true, value: [aSweep(1), aCatch(2, 1, 0)] });
    expect(await again.columns(anId(2))).toEqual({ ok: true, value: new Uint8Array([1, 2, 3]).buffer });
    expect(await again.nextSequence(anId(1))).toEqual({ ok: true, value: 1 });
    expect(await again.addReadings(anId(1), chunk(1))).toEqual({ ok: true, value: true });
    expect(await again.captureText(anId(1))).toEqual({ ok: true, value: [chunk(0).text, chunk(1).text] });
  });

  it('asks for strict durability in every transaction that writes', async () => {
    const asked: [IDBTransactionMode | undefined, IDBTransactionDurability | undefined][] = [];
    // eslint-disable-next-line @typescript-eslint/unbound-method -- called with its own `this` just below
    const original = IDBDatabase.prototype.transaction;
    vi.spyOn(IDBDatabase.prototype, 'transaction').mockImplementation(function (this: IDBDatabase, ...parts) {
      asked.push([parts[1], parts[2]?.durability]);
      return original.apply(this, parts);
    });
    const store = await opened('strict');
    await store.add(aSweep(1));
    await store.addCatch(aCatch(2, 1, 0), new ArrayBuffer(8));
    await store.addReadings(anId(1), chunk(0));
    const written = asked.filter(([mode]) => mode === 'readwrite');
    expect(written).toEqual([
      ['readwrite', 'strict'],
      ['readwrite', 'strict'],
      ['readwrite', 'strict'],
    ]);
  });

  it('steps aside when a newer version wants to upgrade, and refuses afterwards', async () => {
    const older = await opened('stepping aside');
    await older.add(aSweep(1));
    const newer = await openDB('stepping aside', DATABASE_VERSION + 1);
    expect(await newer.count('records')).toBe(1);
    expect(await older.add(aSweep(2))).toMatchObject({ ok: false, because: 'storage-failed' });
    newer.close();
  });

  it('of a newer version is refused with both numbers and left alone', async () => {
    const newer = await openDB('newer', DATABASE_VERSION + 4);
    newer.close();
    expect(await openStore('newer')).toEqual({
      ok: false,
      because: 'storage-newer',
      facts: { found_version: DATABASE_VERSION + 4, known_version: DATABASE_VERSION },
    });
    const after = await openDB('newer');
    expect(after.version).toBe(DATABASE_VERSION + 4);
    after.close();
  });

  it('says so when it gets no answer in time, and holds nothing itself when the answer comes late', async () => {
    // A page that does not step aside keeps a deletion waiting, and the deletion keeps every opening waiting.
    const stubborn = await openDB('blocked', DATABASE_VERSION);
    const deleted = deleteDB('blocked');
    expect(await openDatabase('blocked', 20)).toEqual({
      ok: false,
      because: 'storage-failed',
      facts: { error: 'blocked' },
    });
    stubborn.close();
    await deleted;
    // Ends only if the late handle was closed: it does not listen to anybody any more.
    await deleteDB('blocked');
  });

  it('keeps the record of a catch out when its columns can not be stored', async () => {
    const store = await opened('half a catch');
    await store.add(aSweep(1));
    const givenAway = new ArrayBuffer(8);
    structuredClone(givenAway, { transfer: [givenAway] });
    expect(await store.addCatch(aCatch(2, 1, 0), givenAway)).toMatchObject({ ok: false });
    expect(await store.records(anId(1))).toEqual({ ok: true, value: [aSweep(1)] });
  });

  it('says that there is no room when a write is refused for want of it', async () => {
    const store = await opened('full');
    await store.add(aSweep(1));
    vi.spyOn(IDBObjectStore.prototype, 'add').mockImplementation(() => {
      throw new DOMException('no room', 'QuotaExceededError');
    });
    const full = { ok: false, because: 'storage-full' };
    expect(await store.add(aSweep(2))).toMatchObject(full);
    expect(await store.addReadings(anId(1), chunk(0))).toMatchObject(full);
    expect(await store.addCatch(aCatch(3, 1, 0), new ArrayBuffer(8))).toMatchObject(full);
    vi.restoreAllMocks();
    expect(await store.add(aSweep(2))).toEqual({ ok: true, value: true });
  });

  it('lists a sweep from a newer program with why it can not be opened, and the others as ever', async () => {
    const store = await opened('newer record');
    await store.add(aSweep(1));
    const raw = await openDB('newer record');
    await raw.add('records', { ...aSweep(2), recordVersion: 7, setup: 'of another shape' });
    raw.close();
    const newer = {
      ok: false,
      because: 'storage-newer',
      facts: { found_version: 7, known_version: RECORD_VERSION, recordId: anId(2) },
    };
    expect(await store.sweeps()).toMatchObject({
      ok: true,
      value: [
        { sweepId: anId(2), startedAt_ms: aSweep(2).recordedAt_ms, unreadable: newer },
        { sweepId: anId(1), tipName: 'left knapsack', unreadable: null },
      ],
    });
    expect(await store.records(anId(2))).toEqual(newer);
    expect(await store.records(anId(1))).toMatchObject({ ok: true });
  });
});

describe('a browser without a database', () => {
  it('is told apart, and the memory stands in', async () => {
    vi.stubGlobal('indexedDB', undefined);
    const { store, storage } = await openStoreOrMemory();
    expect(storage).toEqual({ ok: false, because: 'storage-failed', facts: { error: 'no-database' } });
    expect(store.kind).toBe('memory');
    expect(await store.add(aSweep(1))).toEqual({ ok: true, value: true });
  });

  it('that forbids it is told by the name of its error', async () => {
    vi.spyOn(indexedDB, 'open').mockImplementation(() => {
      throw new DOMException('not here', 'SecurityError');
    });
    expect(await openStoreOrMemory()).toMatchObject({
      store: { kind: 'memory' },
      storage: { ok: false, facts: { error: 'SecurityError' } },
    });
  });
});

describe('errors of the database', () => {
  it.each([
    [new DOMException('x', 'QuotaExceededError'), 'storage-full'],
    [{ name: 'QuotaExceededError' }, 'storage-full'],
    [new DOMException('x', 'AbortError'), 'storage-failed'],
    [new TypeError('x'), 'storage-failed'],
    ['a text', 'storage-failed'],
    [null, 'storage-failed'],
  ])('are told apart by name, not class: %s', (error, because) => {
    expect(storageRefusal(error)).toMatchObject({ ok: false, because });
  });
});
