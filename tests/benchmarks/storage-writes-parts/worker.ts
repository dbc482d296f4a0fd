/** The browser's side of the benchmark `storage-writes`: the product's own store, run in a worker as the product runs it. */
import { packColumns } from '../../../src/records/columns/pack-columns.ts';
import { columnsFromReadings } from '../../../src/records/columns/reading-columns.ts';
import type { Reading } from '../../../src/signal/reading.ts';
import type { BenchStore } from '../../../web/worker/storage/bench-store.ts';
import { openStore } from '../../../web/worker/storage/open-store.ts';
import { aCatch, anId, aSweep, aSweepEnd } from '../../records/build-records.ts';

export type Task =
  /** Open, begin a sweep and write chunks and catches until killed, telling of each once the store has answered. */
  | { readonly kind: 'write'; readonly sweep: number }
  /** What is there of that sweep? */
  | { readonly kind: 'check'; readonly sweep: number }
  /** How long do things take? */
  | { readonly kind: 'time'; readonly writes: number; readonly sweeps: number };

export type Told =
  | { readonly kind: 'kept'; readonly what: 'chunk' | 'catch'; readonly number: number }
  | { readonly kind: 'found'; readonly chunks: number; readonly whole: boolean; readonly catches: number }
  | { readonly kind: 'timed'; readonly took_ms: Readonly<Record<string, readonly number[]>> }
  | { readonly kind: 'failed'; readonly because: string };

const LINES_A_SECOND = 80;
const CATCH_ROWS = 46 * LINES_A_SECOND;
const PAUSE_MS = 10;

const tell = (told: Told) => postMessage(told);

/** A second of an 80 Hz bench board: as long as its lines are, though not with their check sums. */
function chunkText(sequence: number): string {
  const line = (i: number) =>
    `${(sequence + i / LINES_A_SECOND).toFixed(4)}\t$CB,${sequence},${i},1234567,890123,4567,1234567,32768*ABCD\n`;
  return Array.from({ length: LINES_A_SECOND }, (_, i) => line(i)).join('');
}

/** A 26 s catch with 10 s around it at 80 Hz, in numbers that don't pack small. */
function catchColumns(): ArrayBuffer {
  const readings = Array.from({ length: CATCH_ROWS }, (_, row): Reading => {
    const time_s = row / LINES_A_SECOND + Math.sin(row) / 1000;
    const mass_kg = row * 2.38e-6 * Math.PI;
    return {
      time_s,
      arrival_s: time_s + 0.001,
      device_s: row / LINES_A_SECOND,
      mass_kg,
      state: 'ok',
      stable: null,
      net: null,
      step_kg: null,
      pulses: row,
      edge_s: time_s - 0.002,
      supplyFraction: null,
    };
  });
  return packColumns(columnsFromReadings(readings));
}

async function opened(): Promise<BenchStore> {
  const store = await openStore();
  if (!store.ok) throw new Error(JSON.stringify(store));
  return store.value;
}

async function must<T>(
  answer: Promise<{ readonly ok: true; readonly value: T } | { readonly ok: false }>,
): Promise<T> {
  const outcome = await answer;
  if (!outcome.ok) throw new Error(JSON.stringify(outcome));
  return outcome.value;
}

async function write(sweep: number): Promise<void> {
  const store = await opened();
  await must(store.add(aSweep(sweep)));
  const columns = catchColumns();
  for (let sequence = 0; ; sequence += 1) {
    await must(store.addReadings(anId(sweep), { sequence, text: chunkText(sequence) }));
    tell({ kind: 'kept', what: 'chunk', number: sequence });
    if (sequence % 5 === 4) {
      const index = (sequence - 4) / 5;
      await must(store.addCatch(aCatch(sweep + 1 + index, sweep, index), columns));
      tell({ kind: 'kept', what: 'catch', number: index });
    }
    await new Promise((resolve) => setTimeout(resolve, PAUSE_MS));
  }
}

async function check(sweep: number): Promise<void> {
  const store = await opened();
  const texts = await must(store.captureText(anId(sweep)));
  const expected = catchColumns();
  let whole = texts.every((text, sequence) => text === chunkText(sequence));
  let catches = 0;
  for (const record of await must(store.records(anId(sweep)))) {
    if (record.kind !== 'catch') continue;
    if (record.index !== catches) whole = false;
    catches += 1;
    if (!sameBytes(await must(store.columns(record.id)), expected)) whole = false;
  }
  store.close();
  tell({ kind: 'found', chunks: texts.length, whole, catches });
}

async function time(writes: number, sweeps: number): Promise<void> {
  const store = await opened();
  const took_ms: Record<string, number[]> = {
    addReadings: [],
    addCatch: [],
    add: [],
    sweeps: [],
    pruneRaw: [],
  };
  const timed = async (name: string, work: () => Promise<unknown>) => {
    const began = performance.now();
    await work();
    took_ms[name]!.push(performance.now() - began);
  };
  const columns = catchColumns();
  const base = 1_000_000;
  await must(store.add(aSweep(base)));
  for (let i = 0; i < writes; i += 1) {
    const text = chunkText(i);
    await timed('addReadings', () => must(store.addReadings(anId(base), { sequence: i, text })));
    await timed('addCatch', () => must(store.addCatch(aCatch(base + 1 + i, base, i), columns)));
  }
  for (let i = 0; i < sweeps; i += 1) {
    const sweep = base + 100_000 + 100 * i;
    await timed('add', () => must(store.add(aSweep(sweep))));
    for (let index = 0; index < 15; index += 1)
      await must(store.add(aCatch(sweep + 1 + index, sweep, index)));
    await must(store.add(aSweepEnd(sweep + 20, sweep)));
  }
  for (let i = 0; i < 5; i += 1) await timed('sweeps', () => must(store.sweeps()));
  await timed('pruneRaw', () => must(store.pruneRaw(0)));
  store.close();
  tell({ kind: 'timed', took_ms });
}

function sameBytes(a: ArrayBuffer, b: ArrayBuffer): boolean {
  const left = new Uint8Array(a);
  const right = new Uint8Array(b);
  return left.length === right.length && left.every((byte, at) => byte === right[at]);
}

addEventListener('message', ({ data }: MessageEvent<Task>) => {
  const doing =
    data.kind === 'write'
      ? write(data.sweep)
      : data.kind === 'check'
        ? check(data.sweep)
        : time(data.writes, data.sweeps);
  doing.catch((error: unknown) => tell({ kind: 'failed', because: String(error) }));
});
