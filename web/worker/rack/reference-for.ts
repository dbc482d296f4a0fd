import { nameKey } from '../../../src/base/name-key.ts';
import type { BenchRecord } from '../../../src/records/bench-record.ts';
import { referenceOfBaseline } from '../../../src/records/rack/baseline.ts';
import { readBook, keyOf } from '../../../src/records/rack/book.ts';
import { earlierCause } from '../../../src/records/rack/diagnose-tip.ts';
import { keysOf } from '../../../src/records/rack/diagnosis-of.ts';
import { baselineOnRig, sweepsOnRig } from '../../../src/records/rack/tip-weeks.ts';
import type { SweepSetup } from '../../../src/records/sweep-setup.ts';
import type { CaptureHeader } from '../../../src/signal/captures/header.ts';
import type { BenchStore } from '../storage/bench-store.ts';

/** Of a tip that was measured more often, only its baseline and so many sweeps before this one are looked at. */
const NEWEST_SWEEPS = 4;

/**
 * What the book knows of this tip on this rig before a sweep begins, as keys of its capture: its baseline, and what its last sweep was said
 * to show (since that baseline). Nothing for a tip that is new (what is measured now is its baseline), for several tips in one sweep, or where the book can't be
 * read: a sweep goes on without.
 */
export async function referenceFor(
  store: BenchStore,
  setup: SweepSetup,
  simulated: boolean,
): Promise<Partial<CaptureHeader>> {
  if (setup.occasion === 'new-tip' || setup.routine !== null) return {};
  const records = await recordsOfTip(store, setup, simulated);
  const tip = readBook(records).tips.get(keyOf(setup.tip.name, simulated));
  if (tip === undefined) return {};
  const { plumbing } = setup.rig;
  const now = {
    gaugeAt: plumbing?.gaugeAt ?? null,
    hoseLength_m: plumbing?.hoseLength_m ?? null,
    hoseBore_m: plumbing?.hoseBore_m ?? null,
    tipAboveGauge_m: plumbing?.tipAboveGauge_m ?? null,
  };
  const rigKey = keyOf(setup.rig.name, simulated);
  const { sweeps } = baselineOnRig(tip, { key: rigKey });
  const baseline = sweeps === null ? null : referenceOfBaseline(sweeps, setup.rig.name);
  return keysOf(baseline, earlierCause(sweepsOnRig(tip, rigKey), sweeps ?? []), now);
}

/** Few of them: a book of years must not hold up "go". */
async function recordsOfTip(
  store: BenchStore,
  { tip, rig }: SweepSetup,
  simulated: boolean,
): Promise<readonly BenchRecord[]> {
  const begun = await store.recordsOfKinds(['sweep', 'by-hand-sweep', 'tip']);
  if (!begun.ok) return [];
  const facts = begun.value.records.filter(
    (record) => record.kind === 'tip' && nameKey(record.name) === nameKey(tip.name),
  );
  const named = new Set(
    facts.flatMap((record) => (record.kind === 'tip' ? (record.baselineSweepIds ?? []) : [])),
  );
  const sweeps = begun.value.records.flatMap((record) => {
    if (record.kind !== 'sweep' && record.kind !== 'by-hand-sweep') return [];
    const { setup } = record;
    const isSame =
      record.simulated === simulated &&
      nameKey(setup.tip.name) === nameKey(tip.name) &&
      nameKey(setup.rig.name) === nameKey(rig.name);
    return isSame ? [record] : [];
  });
  const newest = new Set(sweeps.slice(-NEWEST_SWEEPS).map(({ sweepId }) => sweepId));
  const wanted = sweeps.filter(
    ({ sweepId, setup }) => newest.has(sweepId) || named.has(sweepId) || setup.occasion === 'new-tip',
  );
  const ids = [...new Set(wanted.map(({ sweepId }) => sweepId))];
  const found = await Promise.all(ids.map((sweepId) => store.records(sweepId)));
  return [...facts, ...found.flatMap((records) => (records.ok ? records.value : []))];
}
