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
    /** Lines for the capture's header: what was said of its scale. */
    readonly told?: string;
    /** Another make of the same kind of instrument. */
    readonly averagedReadings?: number;
    /** Marks that stand at the end, without the `!`. */
    readonly mark?: string;
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
  const description = sweep.bench.description();
  const marks = changes.mark === undefined ? '' : `1499.9\t!${changes.mark}\n`;
  const record: SweepRecord = {
    ...anEnvelope(number, number),
    kind: 'sweep',
    setup,
    instrument:
      changes.averagedReadings === undefined
        ? description
        : { ...description, averagedReadings: changes.averagedReadings },
    captureHeader: header!.replace(/# scaleFactorFrom: .*\n/, '') + (changes.told ?? ''),
    order_Pa: setup.settings_Pa,
    trueNozzleConstant_m3_per_s_per_sqrtPa: changes.constant ?? CONSTANT,
  };
  for (const done of [
    await store.add(record),
    await store.addReadings(anId(number), { sequence: 0, text: lines! + marks }),
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

describe('two sweeps of a sprayer that loses nothing', () => {
  const compared = async (
    first: Parameters<typeof keep>[2],
    second: Parameters<typeof keep>[2],
  ): ReturnType<typeof compareOtherWay> => {
    const store = memoryStore();
    await keep(store, 1, { onScale: true, ...first });
    await keep(store, 2, second);
    return compareOtherWay(store, anId(2));
  };
  const u = '# scaleFactorRelativeStandardUncertainty: 0.005\n';
  const corrected = `# scaleFactor: 1.03\n${u}`;

  it('of one scale, corrected in one of them only, are not held against each other: 3 % would be the correction', async () => {
    const refusal = { ok: false, because: 'instruments-not-checked' };
    expect(await compared({ told: corrected }, {})).toMatchObject(refusal);
    expect(await compared({ mark: 'scale-check 1.03 0.005 corrects' }, {})).toMatchObject(refusal);
    expect(await compared({ averagedReadings: 7 }, {})).toMatchObject(refusal);
  }, 60_000);

  it('corrected alike lose nothing, and a scale that was checked in both carries both checks', async () => {
    const alike = await compared({ told: corrected }, { told: corrected });
    const marked = await compared(
      { mark: 'scale-check 1.03 0.005 corrects' },
      { mark: 'scale-check 1.03 0.005 corrects' },
    );
    const anew = await compared({ told: corrected }, { told: corrected.replace('1.03', '1.0301') });
    const other = await compared({ told: corrected, averagedReadings: 7 }, { told: corrected });
    if (!alike.ok || !marked.ok || !anew.ok || !other.ok) throw new Error('refused');
    for (const { value } of [alike, marked, anew, other]) expect(value.verdict).toBe('none-seen');
    const wide = 1.96 * 0.005 * Math.SQRT2;
    expect(alike.value.lostShareExpanded95).toBeLessThan(wide / 1.5);
    expect(marked.value.lostShareExpanded95).toBeCloseTo(alike.value.lostShareExpanded95, 6);
    expect(anew.value.lostShareExpanded95).toBeGreaterThan(wide);
    expect(other.value.lostShareExpanded95).toBeGreaterThan(wide);
  }, 60_000);

  it('keep a drift of the scale that only one of them has', async () => {
    const still = await compared({ told: corrected }, { told: corrected });
    const drifted = await compared(
      { told: corrected, mark: 'scale-check 1.0403 0.005' },
      { told: corrected },
    );
    if (!still.ok || !drifted.ok) throw new Error('refused');
    // Arithmetic: a drift of 1 %, rectangular.
    expect(drifted.value.lostShareExpanded95).toBeGreaterThan((1.96 * 0.01) / Math.sqrt(3));
    expect(still.value.lostShareExpanded95).toBeLessThan(drifted.value.lostShareExpanded95 / 1.2);
  }, 60_000);
});
