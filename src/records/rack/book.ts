import type { RigCheckFound } from '../../analysis/diagnosis/evidence.ts';
import { nameKey } from '../../base/name-key.ts';
import type { BenchRecord, TipRecord } from '../bench-record.ts';
import type { SweepSetup } from '../sweep-setup.ts';
import { byTime } from '../standing.ts';
import { keptSweep, type KeptSweep } from './kept-sweep.ts';

/** The book as the rack reads it: every tip and rig with what was measured. Simulated and measured ones of one name are two. */
export interface Book {
  readonly tips: ReadonlyMap<string, BookTip>;
  readonly rigs: ReadonlyMap<string, BookRig>;
}

export interface BookTip {
  readonly key: string;
  readonly name: string;
  readonly simulated: boolean;
  /** What the person said last; null: nothing. */
  readonly facts: TipRecord | null;
  /** Newest first. */
  readonly sweeps: readonly KeptSweep[];
  /** Those that the person said were of another tip: kept and shown, and no part of anything else. Newest first. */
  readonly notThisTip: readonly KeptSweep[];
  /** Sweeps in which it was caught against other tips, newest first. */
  readonly caughtAgainst: readonly CaughtAgainst[];
}

/** Such a sweep is no curve of any of its tips; each of them shows it. */
export interface CaughtAgainst {
  readonly sweepId: string;
  readonly at_ms: number;
  readonly timeZone: string;
  readonly rigName: string;
  /** Names of the other tips. */
  readonly others: readonly string[];
}

export interface BookRig {
  readonly key: string;
  readonly name: string;
  readonly simulated: boolean;
  readonly tips: readonly string[];
  readonly checks: readonly { readonly at_ms: number; readonly found: RigCheckFound }[];
}

/** Sweeps already read, by id: a sweep of which no record came since is not computed anew. */
export type BookMemo = Map<
  string,
  { readonly lastId: string; readonly count: number; readonly sweep: KeptSweep | null }
>;

/** Kinds of records that the book is made of. */
export const kindsOfTheRack = [
  'sweep',
  'by-hand-sweep',
  'catch',
  'catch-withdrawn',
  'strike',
  'undo-strike',
  'sweep-end',
  'tip',
  'rig-check',
] as const;

export function keyOf(name: string, simulated: boolean): string {
  return `${simulated ? 'simulated' : 'measured'}:${nameKey(name)}`;
}

/** Records in any order → tips and rigs. `memo` is read and filled. */
export function readBook(records: readonly BenchRecord[], memo: BookMemo = new Map()): Book {
  const bySweep = new Map<string, BenchRecord[]>();
  for (const record of records) {
    const list = bySweep.get(record.sweepId);
    if (list === undefined) bySweep.set(record.sweepId, [record]);
    else list.push(record);
  }
  const tips = new Map<
    string,
    {
      name: string;
      simulated: boolean;
      facts: TipRecord | null;
      sweeps: KeptSweep[];
      caughtAgainst: CaughtAgainst[];
    }
  >();
  const tipNamed = (name: string, simulated: boolean) => {
    const key = keyOf(name, simulated);
    const there = tips.get(key) ?? { name, simulated, facts: null, sweeps: [], caughtAgainst: [] };
    tips.set(key, there);
    return there;
  };
  for (const [sweepId, ofSweep] of bySweep) {
    const sweep = remembered(sweepId, ofSweep, memo);
    if (sweep !== null) tipNamed(sweep.setup.tip.name, sweep.simulated).sweeps.push(sweep);
    else
      for (const { name, simulated, against } of tipsOfRoutine(ofSweep))
        tipNamed(name, simulated).caughtAgainst.push(against);
  }
  for (const record of factsOfTips(records)) {
    const tip = tipNamed(record.name, record.simulated);
    tip.facts = record;
    tip.name = record.name;
  }
  for (const tip of tips.values())
    for (const made of [tip.sweeps, tip.caughtAgainst])
      made.sort((a, b) => b.at_ms - a.at_ms || (a.sweepId < b.sweepId ? 1 : -1));
  // By key, so that sums over tips come out alike whatever the order of the records.
  const named = new Map(
    [...tips]
      .map(([key, tip]): [string, BookTip] => [key, { key, ...tip, ...partedByAnswer(tip) }])
      .sort(([a], [b]) => (a < b ? -1 : 1)),
  );
  return { tips: named, rigs: rigsOf(named, records) };
}

function partedByAnswer({ facts, sweeps }: Pick<BookTip, 'facts' | 'sweeps'>) {
  const others = new Set(
    facts?.answered?.flatMap(({ sweepId, isThisTip }) => (isThisTip ? [] : [sweepId])) ?? [],
  );
  return {
    sweeps: sweeps.filter(({ sweepId }) => !others.has(sweepId)),
    notThisTip: sweeps.filter(({ sweepId }) => others.has(sweepId)),
  };
}

function remembered(sweepId: string, records: readonly BenchRecord[], memo: BookMemo): KeptSweep | null {
  const lastId = records.reduce((last, { id }) => (id > last ? id : last), '');
  const known = memo.get(sweepId);
  if (known?.lastId === lastId && known.count === records.length) return known.sweep;
  const sweep = keptSweep(records);
  memo.set(sweepId, { lastId, count: records.length, sweep });
  return sweep;
}

/** Tips held against each other are in the rack, though such a sweep is no curve of any; positions of a boom are not. */
function tipsOfRoutine(
  records: readonly BenchRecord[],
): readonly { readonly name: string; readonly simulated: boolean; readonly against: CaughtAgainst }[] {
  return records.flatMap((record) => {
    if (record.kind !== 'sweep' || record.setup.routine === null) return [];
    const { simulated, setup, sweepId, timeZone, recordedAt_ms } = record;
    const others = othersOf(record.setup.routine);
    if (others.length === 0) return [];
    const names = [setup.tip.name, ...others];
    return names.map((name, place) => ({
      name,
      simulated,
      against: {
        sweepId,
        at_ms: recordedAt_ms,
        timeZone,
        rigName: setup.rig.name,
        others: names.filter((_, other) => other !== place),
      },
    }));
  });
}

function othersOf(routine: NonNullable<SweepSetup['routine']>): readonly string[] {
  if (routine.kind === 'boom') return [];
  const others = routine.kind === 'bag' ? routine.otherTips : [routine.otherTip];
  return others.map(({ name }) => name);
}

/** In the order written, so that the last of a name counts; what was replaced does not stand. */
function factsOfTips(records: readonly BenchRecord[]): readonly TipRecord[] {
  const replaced = new Set(records.flatMap(({ replaces }) => replaces ?? []));
  return records
    .filter((record) => record.kind === 'tip')
    .filter(({ id }) => !replaced.has(id))
    .sort(byTime);
}

function rigsOf(
  tips: ReadonlyMap<string, BookTip>,
  records: readonly BenchRecord[],
): ReadonlyMap<string, BookRig> {
  const rigs = new Map<string, { name: string; simulated: boolean; at_ms: number; tips: Set<string> }>();
  const note = (name: string, simulated: boolean, at_ms: number) => {
    const key = keyOf(name, simulated);
    const there = rigs.get(key) ?? { name, simulated, at_ms, tips: new Set<string>() };
    if (at_ms > there.at_ms) Object.assign(there, { name, at_ms });
    rigs.set(key, there);
    return there;
  };
  for (const { key, sweeps } of tips.values())
    for (const { setup, simulated, at_ms } of sweeps) note(setup.rig.name, simulated, at_ms).tips.add(key);
  const checks = rigChecks(records);
  for (const { rigName, simulated, recordedAt_ms } of checks) note(rigName, simulated, recordedAt_ms);
  return new Map(
    [...rigs].map(([key, { name, simulated, tips: used }]) => [
      key,
      { key, name, simulated, tips: [...used], checks: newestOfEach(checks, key) },
    ]),
  );
}

type RigCheck = Extract<BenchRecord, { kind: 'rig-check' }>;

function rigChecks(records: readonly BenchRecord[]): readonly RigCheck[] {
  const replaced = new Set(records.flatMap(({ replaces }) => replaces ?? []));
  return records.filter((record) => record.kind === 'rig-check').filter(({ id }) => !replaced.has(id));
}

/** The newest of each kind; of the gauge at the wand, of each setting. */
function newestOfEach(checks: readonly RigCheck[], key: string): BookRig['checks'] {
  const newest = new Map<string, { at_ms: number; found: RigCheckFound }>();
  for (const { rigName, simulated, recordedAt_ms: at_ms, found } of checks) {
    if (keyOf(rigName, simulated) !== key) continue;
    const which = found.kind === 'wand-gauge' ? `${found.kind} ${found.setting_Pa}` : found.kind;
    if (at_ms >= (newest.get(which)?.at_ms ?? -Infinity)) newest.set(which, { at_ms, found });
  }
  return [...newest.values()].sort((a, b) => b.at_ms - a.at_ms);
}
