import { nameKey } from '../../../src/base/name-key.ts';
import { ok, refused, type Outcome } from '../../../src/base/outcome.ts';
import type { BenchRecord, TipAnswer, TipRecord } from '../../../src/records/bench-record.ts';
import { kindsOfTheRack, type BookMemo } from '../../../src/records/rack/book.ts';
import { compareRackTips } from '../../../src/records/rack/compare.ts';
import { assembleRack } from '../../../src/records/rack/rack.ts';
import { keptSweep } from '../../../src/records/rack/kept-sweep.ts';
import type { RackSource, RackView, TipFacts, TipsCompared } from '../../contract.ts';
import { newEnvelope } from '../record-envelope.ts';
import type { BenchStore } from '../storage/bench-store.ts';

/** Equal every time it is looked at; chosen so that its story is plain (another seed may have a false alarm: one tip in thirty has). */
const SEASON_SEED = 2;
/** Invented, like all of it: the same days whenever it is looked at. */
const SEASON_END_MS = Date.UTC(2026, 9, 30, 18);

/** Sweeps of a store that were read already: only what is new is computed again. */
const memos = new WeakMap<BenchStore, BookMemo>();
let season: Promise<readonly BenchRecord[]> | null = null;

export async function rackOf(
  store: BenchStore,
  source: RackSource,
  limitRatio?: number,
): Promise<Outcome<RackView>> {
  const found = await recordsOf(store, source);
  if (!found.ok) return found;
  const { records, unreadable, memo } = found.value;
  return ok(assembleRack(records, { unreadable, memo, ...(limitRatio === undefined ? {} : { limitRatio }) }));
}

export async function compareTipsOf(
  store: BenchStore,
  source: RackSource,
  keys: readonly string[],
  against: string,
): Promise<Outcome<TipsCompared>> {
  const found = await recordsOf(store, source);
  return found.ok ? compareRackTips(found.value.records, keys, against, found.value.memo) : found;
}

/**
 * Keeps what a person says of a tip as a record that replaces the last one. Answers given before stay, where the same sweep is not answered anew.
 * Refused: `name-missing`; `baseline-not-of-this-tip` (a sweep of another tip, or a simulated one for a measured tip);
 * `baseline-void` for one without a flow that counts.
 */
export async function saveTipFacts(
  store: BenchStore,
  facts: TipFacts,
  simulated: boolean,
): Promise<Outcome<true>> {
  const name = facts.name.trim();
  if (name === '') return refused('name-missing', { field: 'tip' });
  for (const sweepId of facts.baselineSweepIds ?? []) {
    const fit = await canBeBaseline(store, sweepId, name, simulated);
    if (!fit.ok) return fit;
  }
  const kept = await store.recordsOfKinds(['tip']);
  if (!kept.ok) return kept;
  const last = lastOf(kept.value.records, name, simulated);
  const answered = answersOf(last?.answered, facts.answered);
  const record: TipRecord = {
    ...newEnvelope(null, simulated, last?.id ?? null),
    kind: 'tip',
    name,
    isoSize: facts.isoSize === '' ? null : facts.isoSize,
    drawer: facts.drawer,
    retired: facts.retired,
    note: facts.note,
    baselineSweepIds: facts.baselineSweepIds,
    ...(answered.length === 0 ? {} : { answered }),
  };
  return store.add(record);
}

async function canBeBaseline(
  store: BenchStore,
  sweepId: string,
  name: string,
  simulated: boolean,
): Promise<Outcome<true>> {
  const records = await store.records(sweepId);
  if (!records.ok) return records;
  const sweep = keptSweep(records.value);
  if (sweep === null || sweep.simulated !== simulated || nameKey(sweep.setup.tip.name) !== nameKey(name))
    return refused('baseline-not-of-this-tip', { sweepId });
  return sweep.flows === null ? refused('baseline-void', { sweepId }) : ok(true);
}

/** Answers now over answers then, sweep by sweep; what is taken back is no answer. */
function answersOf(then: readonly TipAnswer[] | undefined, now: TipFacts['answered']): readonly TipAnswer[] {
  const all = [...(then ?? []), ...(now ?? [])].map(
    ({ sweepId, isThisTip }) => [sweepId, isThisTip] as const,
  );
  return [...new Map(all)].flatMap(([sweepId, isThisTip]) =>
    isThisTip === null ? [] : [{ sweepId, isThisTip }],
  );
}

function lastOf(records: readonly BenchRecord[], name: string, simulated: boolean): TipRecord | null {
  const replaced = new Set(records.map(({ replaces }) => replaces));
  const ofThis = records
    .filter((record) => record.kind === 'tip')
    .filter(
      (tip) => tip.simulated === simulated && nameKey(tip.name) === nameKey(name) && !replaced.has(tip.id),
    );
  return ofThis.at(-1) ?? null;
}

async function recordsOf(store: BenchStore, source: RackSource) {
  if (source === 'simulated-season')
    return ok({ records: await seasonRecords(), unreadable: 0, memo: memoOf(seasonKey) });
  const found = await store.recordsOfKinds(kindsOfTheRack);
  return found.ok ? ok({ ...found.value, memo: memoOf(store) }) : found;
}

/** Invented once in the worker's life; it is in no store. */
function seasonRecords(): Promise<readonly BenchRecord[]> {
  season ??= import('../../../src/simulation/season.ts').then(({ simulatedSeason }) =>
    simulatedSeason(SEASON_SEED, SEASON_END_MS),
  );
  return season;
}

const seasonKey = {} as BenchStore;

function memoOf(store: BenchStore): BookMemo {
  const memo = memos.get(store) ?? (new Map() as BookMemo);
  memos.set(store, memo);
  return memo;
}
