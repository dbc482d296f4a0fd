import { beforeAll, describe, expect, it } from 'vitest';
import type { SweepRecord } from '../../../src/records/bench-record.ts';
import type { SweepSetup } from '../../../src/records/sweep-setup.ts';
import { compareOtherWay } from '../../../web/worker/compare-other-way.ts';
import type { BenchStore } from '../../../web/worker/storage/bench-store.ts';
import { memoryStore } from '../../../web/worker/storage/memory-store.ts';
import { guidedSweep } from '../../builders/guided-sweep.ts';
import { aSetup as plainSetup, psi } from '../../builders/setup.ts';
import { anEnvelope, anId } from '../../records/build-records.ts';

const CONSTANT = 4.1e-8;

/** A sweep of the same invented tip on the simulated bench, kept as the app keeps it; `leak`: share that never reaches the pail. */
async function keep(
  store: BenchStore,
  number: number,
  changes: {
    readonly onScale?: boolean;
    readonly leak?: number;
    readonly tip?: string;
    readonly constant?: number;
  },
): Promise<void> {
  const standsOnScale = changes.onScale === true ? 'sprayer' : 'pail';
  const base = plainSetup();
  const setup: SweepSetup = plainSetup({
    tip: { ...base.tip, name: changes.tip ?? 'tip' },
    // It clicks: both sweeps then have the very same pressures.
    rig: { ...base.rig, control: 'clicks-or-shows', standsOnScale, scaleLimit_kg: 40 },
    settings_Pa: psi(30, 50),
    catchesPerSetting: 2,
  });
  const sweep = guidedSweep({
    setup,
    bench: {
      rig: { kind: 'held', standsOnScale, strokePeriod_s: null },
      dial: { protocol: 'set-once', standardDeviation_Pa: 0 },
      scaleLimit_kg: 40,
      tip: { nozzleConstant_m3_per_s_per_sqrtPa: CONSTANT * (1 - (changes.leak ?? 0)) },
    },
    seed: number,
  });
  sweep.run(1500);
  const [header, lines] = sweep
    .captureText()
    .split(/(?<=\n)(?=\d)/s, 1)
    .map((text) => [text, sweep.captureText().slice(text.length)])[0]!;
  const record: SweepRecord = {
    ...anEnvelope(number, number),
    kind: 'sweep',
    setup,
    instrument: sweep.bench.description(),
    captureHeader: header!,
    order_Pa: setup.settings_Pa,
    trueNozzleConstant_m3_per_s_per_sqrtPa: changes.constant ?? CONSTANT,
  };
  for (const done of [
    await store.add(record),
    await store.addReadings(anId(number), { sequence: 0, text: lines! }),
  ])
    if (!done.ok) throw new Error(done.because);
}

describe('a sweep held against the other way', () => {
  let store: BenchStore;
  beforeAll(async () => {
    store = memoryStore();
    await keep(store, 1, { onScale: true });
    await keep(store, 2, { leak: 0.05 });
    await keep(store, 3, { tip: 'another' });
    await keep(store, 4, { onScale: true, tip: 'another', constant: 1e-9 });
  }, 60_000);

  it('finds 5 % that leave the sprayer and do not reach the pail, asked from either side', async () => {
    const found = await compareOtherWay(store, anId(1));
    if (!found.ok) throw new Error(found.because);
    expect(found.value.verdict).toBe('leak-or-mist');
    expect(Math.abs(found.value.lostShare - 0.05)).toBeLessThan(found.value.lostShareExpanded95);
    expect(found.value.settings).toHaveLength(2);
    expect(await compareOtherWay(store, anId(2))).toEqual(found);
  });

  it('has none to offer where the other sweep was of another tip, and says so', async () => {
    expect(await compareOtherWay(store, anId(3))).toMatchObject({
      ok: false,
      because: 'no-sweep-the-other-way',
    });
    expect(await compareOtherWay(store, anId(9))).toMatchObject({ ok: false, because: 'record-not-found' });
  });
});
