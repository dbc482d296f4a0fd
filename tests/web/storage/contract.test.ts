import 'fake-indexeddb/auto';
import fc from 'fast-check';
import { afterEach, describe, expect, it } from 'vitest';
import { packColumns } from '../../../src/records/columns/pack-columns.ts';
import { columnsFromReadings } from '../../../src/records/columns/reading-columns.ts';
import type { BenchRecord } from '../../../src/records/bench-record.ts';
import type { BenchStore } from '../../../web/worker/storage/bench-store.ts';
import { memoryStore } from '../../../web/worker/storage/memory-store.ts';
import { openStore } from '../../../web/worker/storage/open-store.ts';
import {
  aByHandSweep,
  aCatch,
  anId,
  anUndoneStrike,
  aStrike,
  aSweep,
  aSweepEnd,
  aWithdrawal,
} from '../../records/build-records.ts';

const SEED = 20261125;
const done = { ok: true, value: true };
let databases = 0;

async function freshDatabase(): Promise<BenchStore> {
  databases += 1;
  const opened = await openStore(`contract ${databases}`);
  if (!opened.ok) throw new Error(JSON.stringify(opened));
  return opened.value;
}

const stores: readonly [string, () => Promise<BenchStore>][] = [
  ['database', freshDatabase],
  ['memory', () => Promise.resolve(memoryStore())],
];

const readings = [0, 0.1, 0.2].map((time_s) => ({
  time_s,
  arrival_s: time_s,
  device_s: null,
  mass_kg: 0.512,
  state: 'ok' as const,
  stable: true,
  net: null,
  step_kg: 0.001,
  pulses: null,
  edge_s: null,
  supplyFraction: null,
}));
const packed = () => packColumns(columnsFromReadings(readings));

function put(store: BenchStore, record: BenchRecord) {
  return record.kind === 'catch' ? store.addCatch(record, packed()) : store.add(record);
}

/** Two sweeps (the second unfinished) and one by hand, with every kind of correction. */
const everything: readonly BenchRecord[] = [
  aSweep(1),
  aCatch(2, 1, 0),
  aCatch(3, 1, 1),
  aCatch(4, 1, 2),
  aStrike(5, 1, 10),
  aStrike(6, 1, 70),
  anUndoneStrike(7, 1, 70, 6),
  aWithdrawal(8, 1, 130, 4),
  aCatch(9, 1, 1, { replaces: anId(3) }),
  aSweepEnd(10, 1),
  aSweep(11),
  aCatch(12, 11, 0),
  aByHandSweep(13),
];

describe.each(stores)('kept in the %s', (kind, fresh) => {
  let store: BenchStore | undefined;
  afterEach(() => store?.close());

  it('says what it is, and is empty at first', async () => {
    store = await fresh();
    expect(store.kind).toBe(kind);
    expect(await store.sweeps()).toEqual({ ok: true, value: [] });
    expect(await store.captureText(anId(1))).toEqual({ ok: true, value: [] });
    expect(await store.nextSequence(anId(1))).toEqual({ ok: true, value: 0 });
    expect(await store.pruneRaw(4)).toEqual({ ok: true, value: 0 });
  });

  it('gives all records of some kinds, of whatever sweep, in the order they were written', async () => {
    store = await fresh();
    for (const record of [...everything].reverse()) await put(store, record);
    const wanted = everything.filter(({ kind }) => kind === 'sweep' || kind === 'strike');
    expect(await store.recordsOfKinds(['strike', 'sweep'])).toEqual({
      ok: true,
      value: { records: wanted, unreadable: 0 },
    });
    expect(wanted.length).toBeGreaterThan(2);
    expect(await store.recordsOfKinds(['tip'])).toEqual({ ok: true, value: { records: [], unreadable: 0 } });
  });

  it('gives the records of one sweep back in the order they were written', async () => {
    store = await fresh();
    for (const record of [...everything].reverse()) expect(await put(store, record)).toEqual(done);
    expect(await store.records(anId(1))).toEqual({ ok: true, value: everything.slice(0, 10) });
    expect(await store.records(anId(11))).toEqual({ ok: true, value: everything.slice(10, 12) });
  });

  it('lists the sweeps, newest first, as their records stand', async () => {
    store = await fresh();
    for (const record of everything) await put(store, record);
    const list = await store.sweeps();
    expect(list).toMatchObject({
      ok: true,
      value: [
        { sweepId: anId(13), timedByHand: true, finished: true, catches: 1, simulated: false },
        { sweepId: anId(11), timedByHand: false, finished: false, catches: 1, struck: 0 },
        {
          sweepId: anId(1),
          finished: true,
          catches: 2,
          struck: 1,
          nozzleConstant_m3_per_s_per_sqrtPa: 4.8e-8,
          nozzleConstantExpanded95_m3_per_s_per_sqrtPa: 2.5e-9,
        },
      ],
    });
  });

  it(`keeps the same set whatever the order of adding (seed ${SEED})`, async () => {
    const inOrder = await fresh();
    for (const record of everything) await put(inOrder, record);
    const expected = [
      await inOrder.records(anId(1)),
      await inOrder.records(anId(11)),
      await inOrder.sweeps(),
    ];
    inOrder.close();
    await fc.assert(
      fc.asyncProperty(
        fc.shuffledSubarray([...everything], { minLength: everything.length }),
        async (shuffled) => {
          const shuffledStore = await fresh();
          for (const record of shuffled) expect(await put(shuffledStore, record)).toEqual(done);
          const found = [
            await shuffledStore.records(anId(1)),
            await shuffledStore.records(anId(11)),
            await shuffledStore.sweeps(),
          ];
          shuffledStore.close();
          expect(found).toEqual(expected);
        },
      ),
      { seed: SEED, numRuns: 25 },
    );
  });

  it('refuses a second record with the same id and leaves the first as it was', async () => {
    store = await fresh();
    await store.add(aSweep(1));
    const again = aSweep(1, { order_Pa: [1] });
    expect(await store.add(again)).toMatchObject({
      ok: false,
      because: 'storage-failed',
      facts: { error: 'ConstraintError' },
    });
    expect(await store.records(anId(1))).toEqual({ ok: true, value: [aSweep(1)] });
  });

  it('refuses a catch twice and keeps the columns of the first', async () => {
    store = await fresh();
    await store.add(aSweep(1));
    expect(await store.addCatch(aCatch(2, 1, 0), packed())).toEqual(done);
    expect(await store.addCatch(aCatch(2, 1, 0), new ArrayBuffer(3))).toMatchObject({ ok: false });
    expect(await store.columns(anId(2))).toEqual({ ok: true, value: packed() });
  });

  it('keeps neither columns nor record when the record is there already without columns', async () => {
    store = await fresh();
    await store.add(aSweep(1));
    await store.add(aCatch(2, 1, 0));
    expect(await store.addCatch(aCatch(2, 1, 0), packed())).toMatchObject({ ok: false });
    expect(await store.columns(anId(2))).toMatchObject({ ok: false, because: 'record-not-found' });
  });

  it('refuses what is not to the letter a record, and says where', async () => {
    store = await fresh();
    const odd = { ...aStrike(5, 1, 10), start_s: NaN };
    expect(await store.add(odd)).toMatchObject({ ok: false, facts: { path: 'start_s' } });
    expect(await store.records(anId(1))).toMatchObject({ ok: false, because: 'record-not-found' });
  });

  it('keeps a copy: what is done to a record or a buffer afterwards changes nothing', async () => {
    store = await fresh();
    const sweep = structuredClone(aSweep(1));
    await store.add(sweep);
    (sweep.setup.tip as { name: string }).name = 'changed';
    const columns = packed();
    await store.addCatch(aCatch(2, 1, 0), columns);
    new Uint8Array(columns).fill(0);
    const read = await store.records(anId(1));
    expect(read).toEqual({ ok: true, value: [aSweep(1), aCatch(2, 1, 0)] });
    if (read.ok && read.value[0]?.kind === 'sweep') {
      (read.value[0].setup.tip as { name: string }).name = 'changed too';
    }
    expect(await store.records(anId(1))).toEqual({ ok: true, value: [aSweep(1), aCatch(2, 1, 0)] });
    expect(await store.columns(anId(2))).toEqual({ ok: true, value: packed() });
  });

  const chunk = (sequence: number) => ({ sequence, text: `${sequence}.0000\t512.0 g\n` });

  it('gives chunks back by sequence number, whatever the order they were added in', async () => {
    store = await fresh();
    await store.add(aSweep(1));
    // Eleven of them: as text "10" would come before "2".
    for (const sequence of [3, 10, 0, 2, 9, 1, 4, 8, 5, 7, 6]) {
      expect(await store.addReadings(anId(1), chunk(sequence))).toEqual(done);
    }
    const expected = Array.from({ length: 11 }, (_, sequence) => chunk(sequence).text);
    expect(await store.captureText(anId(1))).toEqual({ ok: true, value: expected });
    expect(await store.nextSequence(anId(1))).toEqual({ ok: true, value: 11 });
  });

  it('marks a gap where chunks are missing', async () => {
    store = await fresh();
    await store.add(aSweep(1));
    for (const sequence of [0, 1, 4]) await store.addReadings(anId(1), chunk(sequence));
    expect(await store.captureText(anId(1))).toEqual({
      ok: true,
      value: [chunk(0).text, chunk(1).text, '4.0000\t!gap lines-lost\n', chunk(4).text],
    });
  });

  it('refuses a chunk twice and one of a sweep it does not know', async () => {
    store = await fresh();
    await store.add(aSweep(1));
    await store.addReadings(anId(1), chunk(0));
    expect(await store.addReadings(anId(1), { sequence: 0, text: 'other\n' })).toMatchObject({
      ok: false,
      because: 'storage-failed',
    });
    expect(await store.captureText(anId(1))).toEqual({ ok: true, value: [chunk(0).text] });
    expect(await store.addReadings(anId(2), chunk(0))).toMatchObject({
      ok: false,
      because: 'record-not-found',
    });
  });

  it('lets go of raw lines only, of all but the sweeps begun last and the running one', async () => {
    store = await fresh();
    for (const sweep of [5, 1, 3, 2, 4]) {
      await store.add(aSweep(sweep));
      await store.addCatch(aCatch(100 + sweep, sweep, 0), packed());
      for (const sequence of [0, 1, 2]) await store.addReadings(anId(sweep), chunk(sequence));
      await store.add(aSweepEnd(200 + sweep, sweep));
    }
    await store.add(aSweep(6)); // has no raw lines, so it takes no place
    expect(await store.pruneRaw(3, anId(1))).toEqual({ ok: true, value: 1 });
    const linesLeft = [];
    for (const sweep of [1, 2, 3, 4, 5]) {
      const kept = await store.captureText(anId(sweep));
      linesLeft.push(kept.ok ? kept.value.length : -1);
      expect(await store.columns(anId(100 + sweep))).toMatchObject({ ok: true });
      expect(await store.records(anId(sweep))).toMatchObject({ ok: true, value: { length: 3 } });
    }
    expect(linesLeft).toEqual([3, 0, 3, 3, 3]);
    expect(await store.pruneRaw(3, anId(1))).toEqual({ ok: true, value: 0 });
    expect(await store.pruneRaw(0)).toEqual({ ok: true, value: 4 });
  });

  it('never lets go of the raw lines of a sweep that was not ended: it can still be taken up', async () => {
    store = await fresh();
    for (const sweep of [1, 2]) {
      await store.add(aSweep(sweep));
      await store.addReadings(anId(sweep), chunk(0));
    }
    await store.add(aSweepEnd(3, 2));
    expect(await store.pruneRaw(0)).toEqual({ ok: true, value: 1 });
    expect(await store.captureText(anId(1))).toEqual({ ok: true, value: [chunk(0).text] });
    expect(await store.captureText(anId(2))).toEqual({ ok: true, value: [] });
  });

  it('answers with a refusal, and does not throw, once it is closed', async () => {
    store = await fresh();
    store.close();
    const closed = { ok: false, because: 'storage-failed', facts: { error: 'InvalidStateError' } };
    expect(await store.add(aSweep(1))).toMatchObject(closed);
    expect(await store.addCatch(aCatch(2, 1, 0), packed())).toMatchObject(closed);
    expect(await store.addReadings(anId(1), chunk(0))).toMatchObject(closed);
    expect(await store.nextSequence(anId(1))).toMatchObject(closed);
    expect(await store.sweeps()).toMatchObject(closed);
    expect(await store.records(anId(1))).toMatchObject(closed);
    expect(await store.captureText(anId(1))).toMatchObject(closed);
    expect(await store.columns(anId(2))).toMatchObject(closed);
    expect(await store.pruneRaw(3)).toMatchObject(closed);
  });
});
