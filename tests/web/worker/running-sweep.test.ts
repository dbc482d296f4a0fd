import { expect, it, vi } from 'vitest';
import type { BenchRecord } from '../../../src/records/bench-record.ts';
import { ok } from '../../../src/base/outcome.ts';
import { standing } from '../../../src/records/standing.ts';
import type { Sweep } from '../../../src/session/sweep.ts';
import type { SweepCommand } from '../../../src/session/sweep-command.ts';
import { newEnvelope } from '../../../web/worker/record-envelope.ts';
import { RunningSweep } from '../../../web/worker/running-sweep.ts';
import { memoryStore } from '../../../web/worker/storage/memory-store.ts';
import { aSetup } from '../../builders/setup.ts';
import { aCatch } from '../../records/build-records.ts';

vi.mock('../../../web/worker/app-version.ts', () => ({ APP_VERSION: 'under test' }));

/** A sweep of one catch that starts where the test says: only what its runner asks of it here. */
function aSweepOfOneCatch() {
  const at = { start_s: 0 };
  const { shown } = aCatch(1, 1, 0);
  const nothing = ok<SweepCommand[]>([]);
  const live: Partial<Sweep> = {
    strike: () => nothing,
    undoStrike: () => nothing,
    view: (() => ({ catches: [{ struckReason: null }] })) as unknown as Sweep['view'],
  };
  Object.defineProperty(live, 'analysis', {
    get: () => ({
      catches: [{ ...shown, start_s: at.start_s, stop_s: at.start_s + 20 }],
      estimatorVersion: '1',
    }),
  });
  return { at, live: live as Sweep };
}

it('a strike names the catch that stands, not one withdrawn nearly at the same start', async () => {
  const { at, live } = aSweepOfOneCatch();
  const store = memoryStore();
  const sweepId = newEnvelope(null, true).id;
  const sweep = new RunningSweep({
    live,
    setup: aSetup(),
    sweepId,
    origin_s: 0,
    store,
    earlierText: [],
    nextSequence: 0,
    simulated: true,
    trueNozzleConstant_m3_per_s_per_sqrtPa: null,
    conditions: null,
    envelope: (replaces) => newEnvelope(sweepId, true, replaces ?? null),
    announce: () => undefined,
    changed: () => undefined,
    keptCatches: [],
    notKept: null,
  });
  const kept = async (): Promise<readonly BenchRecord[]> => {
    await sweep.settled();
    const records = await store.records(sweepId);
    if (!records.ok) throw new Error(records.because);
    return records.value;
  };

  at.start_s = 10;
  sweep.carryOut([{ kind: 'catch-closed', index: 0 }], 40);
  sweep.carryOut([{ kind: 'catch-withdrawn', start_s: 10.01, because: 'settled-too-low' }], 41);
  at.start_s = 11.5;
  sweep.carryOut([{ kind: 'catch-closed', index: 0 }], 42);
  // The clock moves the start by milliseconds; the record keeps the one it was written with.
  at.start_s = 11.504;
  sweep.strike(0, 'wind', 43);
  const struck = standing(await kept());
  expect(struck.catches.map(({ record, strike }) => [record.start_s, strike?.reason])).toEqual([
    [11.5, 'wind'],
  ]);
  sweep.undoStrike(0, 44);
  expect(standing(await kept()).catches[0]!.strike).toBeNull();

  // Withdrawn in its turn: each withdrawal names its own record.
  sweep.carryOut([{ kind: 'catch-withdrawn', start_s: 11.5, because: 'settled-too-low' }], 45);
  const all = await kept();
  expect(standing(all).catches).toEqual([]);
  const withdrawn = all.filter(({ kind }) => kind === 'catch-withdrawn').map(({ replaces }) => replaces);
  expect(withdrawn).toEqual(all.filter(({ kind }) => kind === 'catch').map(({ id }) => id));
});
