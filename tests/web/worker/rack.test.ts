import * as Comlink from 'comlink';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { BenchRecord } from '../../../src/records/bench-record.ts';
import { simulatedSeason } from '../../../src/simulation/season.ts';
import type {
  BenchView,
  BenchWorker,
  SimulatedBenchRequest,
  SweepSetup,
  TipFacts,
} from '../../../web/contract.ts';
import { BenchService } from '../../../web/worker/bench-service.ts';
import type { BenchStore } from '../../../web/worker/storage/bench-store.ts';
import { memoryStore } from '../../../web/worker/storage/memory-store.ts';
import { aSetup, psi } from '../../builders/setup.ts';

vi.mock('../../../web/worker/app-version.ts', () => ({ APP_VERSION: 'under test' }));

const bench: SimulatedBenchRequest = {
  scenario: 'clean',
  seed: 4,
  speed: 20,
  instrument: 'scale',
  tipFlowAt275790Pa_m3_per_s: 2.2e-5,
};
const said: TipFacts = {
  name: 'Reel C',
  isoSize: '03',
  drawer: false,
  retired: true,
  note: 'was mine',
  baselineSweepIds: null,
};

function connected(store: BenchStore = memoryStore()): { remote: BenchWorker; views: BenchView[] } {
  const { port1, port2 } = new MessageChannel();
  Comlink.expose(
    new BenchService(() => Promise.resolve({ store, storage: { ok: true, value: true } })),
    port1,
  );
  const views: BenchView[] = [];
  const remote = Comlink.wrap<BenchWorker>(port2);
  const sink = {
    view: (view: BenchView) => void views.push(view),
    trace: () => undefined,
    announce: () => undefined,
  };
  void remote.hello(Comlink.proxy(sink));
  return { remote, views };
}

async function until(condition: () => boolean, limit_s = 200): Promise<void> {
  for (let s = 0; s < limit_s * 20; s += 1) {
    if (condition()) return;
    await vi.advanceTimersByTimeAsync(50);
    await new Promise((resolve) => setImmediate(resolve));
  }
  throw new Error('never came');
}

/** A season of the book, as if it had been measured. */
async function bookOf(records: readonly BenchRecord[]): Promise<BenchStore> {
  const store = memoryStore();
  for (const record of records) {
    const added =
      record.kind === 'catch' ? await store.addCatch(record, new ArrayBuffer(8)) : await store.add(record);
    if (!added.ok) throw new Error(JSON.stringify(added));
  }
  return store;
}
const season = simulatedSeason(2, Date.UTC(2026, 10, 25, 18));
const measured = season.map((record): BenchRecord => ({ ...record, simulated: false }));
const idsOf = (tip: string) =>
  season.filter((r) => r.kind === 'sweep' && r.setup.tip.name === tip).map(({ sweepId }) => sweepId);

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'setInterval', 'clearTimeout', 'clearInterval'] });
});
afterEach(() => {
  vi.useRealTimers();
});

describe('the rack over the channel', () => {
  it('reads the book', async () => {
    const { remote } = connected(await bookOf(measured));
    const rack = await remote.rack('book');
    if (!rack.ok) throw new Error(rack.because);
    expect(rack.value.unreadable).toBe(0);
    expect(rack.value.tips.map(({ name, simulated }) => [name, simulated])).toEqual(
      ['Backpack A', 'Backpack B', 'Backpack C', 'Drawer', 'Reel A', 'Reel B', 'Reel C', 'Reel D'].map(
        (name) => [name, false],
      ),
    );
    expect(rack.value.tips[1]!.diagnosis?.finding.cause).toBe('worn');
    // The person's own habit for "worn" moves the forecast.
    const later = await remote.rack('book', 1.15);
    expect(later.ok && later.value.tips[1]!.drift!.forecast!.week).toBeGreaterThan(
      rack.value.tips[1]!.drift!.forecast!.week + 5,
    );
  });

  it('shows an invented season, marked simulated, and keeps none of it', async () => {
    const store = memoryStore();
    const { remote } = connected(store);
    expect(await remote.rack('book')).toEqual({ ok: true, value: { tips: [], rigs: [], unreadable: 0 } });
    const rack = await remote.rack('simulated-season');
    if (!rack.ok) throw new Error(rack.because);
    expect(rack.value.tips).toHaveLength(8);
    expect(rack.value.tips.every(({ simulated }) => simulated)).toBe(true);
    expect(await store.sweeps()).toEqual({ ok: true, value: [] });
    const keys = rack.value.tips.slice(0, 3).map(({ key }) => key);
    const compared = await remote.compareTips('simulated-season', keys, keys[1]!);
    expect(compared.ok && compared.value.pairs.map(({ against }) => against)).toEqual([keys[1], keys[1]]);
    expect(compared.ok && compared.value.curves).toHaveLength(3);
  });

  it('refuses what can’t be compared, with a reason', async () => {
    const { remote } = connected();
    expect(await remote.compareTips('book', ['measured:a'], 'measured:a')).toMatchObject({
      because: 'tips-two-to-six',
    });
    expect(await remote.compareTips('book', ['measured:a', 'measured:b'], 'measured:a')).toMatchObject({
      because: 'tip-not-found',
      facts: { key: 'measured:a' },
    });
  });
});

describe('what a person says of a tip', () => {
  it('is kept as records that replace each other; answers stay', async () => {
    const store = await bookOf(measured);
    const { remote } = connected(store);
    const swapped = idsOf('Reel C').at(-3)!;
    expect(
      await remote.saveTip({ ...said, answered: [{ sweepId: swapped, isThisTip: false }] }, false),
    ).toEqual({ ok: true, value: true });
    expect(
      await remote.saveTip(
        {
          ...said,
          note: 'given away',
          name: ' reel c ',
          answered: [{ sweepId: idsOf('Reel C')[5]!, isThisTip: true }],
        },
        false,
      ),
    ).toEqual({
      ok: true,
      value: true,
    });
    const rack = await remote.rack('book');
    if (!rack.ok) throw new Error(rack.because);
    const tip = rack.value.tips.find(({ key }) => key === 'measured:reel c')!;
    expect(tip).toMatchObject({ isoSize: '03', retired: true, note: 'given away', name: 'reel c' });
    expect(tip.warnings).not.toContain('is-this-the-tip');
    const kept = await store.recordsOfKinds(['tip']);
    const ofTip = kept.ok
      ? kept.value.records.filter((r) => r.kind === 'tip' && /reel c/iu.test(r.name))
      : [];
    expect(ofTip).toHaveLength(3);
    expect(ofTip.at(-1)).toMatchObject({
      answered: [
        { sweepId: swapped, isThisTip: false },
        { sweepId: idsOf('Reel C')[5], isThisTip: true },
      ],
    });
    expect(ofTip.map(({ replaces }) => replaces)).toEqual([null, ofTip[0]!.id, ofTip[1]!.id]);

    // Taken back: nobody has said, and it asks again.
    await remote.saveTip({ ...said, answered: [{ sweepId: swapped, isThisTip: null }] }, false);
    const again = await remote.rack('book');
    if (!again.ok) throw new Error(again.because);
    expect(again.value.tips.find(({ key }) => key === 'measured:reel c')!.warnings).toContain(
      'is-this-the-tip',
    );
  });

  it('chooses a baseline, and refuses what can’t be one', async () => {
    const strikes = measured
      .filter((r) => r.kind === 'catch' && r.sweepId === idsOf('Reel C')[4])
      .map((r, i): BenchRecord => ({
        ...r,
        kind: 'strike',
        id: `01900000-0000-7000-8000-${String(i).padStart(12, '0')}`,
        start_s: (r as Extract<BenchRecord, { kind: 'catch' }>).start_s,
        reason: 'leaking hose',
        replaces: null,
      }))
      .map(
        ({
          id,
          kind,
          sweepId,
          recordVersion,
          recordedAt_ms,
          timeZone,
          replaces,
          simulated,
          appVersion,
          ...rest
        }) => {
          const { start_s, reason } = rest as { start_s: number; reason: string };
          return {
            id,
            kind,
            sweepId,
            recordVersion,
            recordedAt_ms,
            timeZone,
            replaces,
            simulated,
            appVersion,
            start_s,
            reason,
          } as BenchRecord;
        },
      );
    const { remote } = connected(await bookOf([...measured, ...strikes]));
    const choose = (ids: readonly string[], simulated = false) =>
      remote.saveTip({ ...said, baselineSweepIds: ids }, simulated);
    expect(await choose([idsOf('Reel A')[0]!])).toMatchObject({ because: 'baseline-not-of-this-tip' });
    expect(await choose([idsOf('Reel C')[0]!], true)).toMatchObject({ because: 'baseline-not-of-this-tip' });
    expect(await choose([idsOf('Reel C')[4]!])).toMatchObject({ because: 'baseline-void' });
    expect(await choose(['01900000-0000-7000-8000-00000000ffff'])).toMatchObject({
      because: 'record-not-found',
    });
    expect(await remote.saveTip({ ...said, name: '  ' }, false)).toMatchObject({ because: 'name-missing' });
    expect(await choose([idsOf('Reel C')[3]!])).toEqual({ ok: true, value: true });
    const rack = await remote.rack('book');
    const tip = rack.ok ? rack.value.tips.find(({ key }) => key === 'measured:reel c') : undefined;
    expect(tip?.baseline?.sweepIds).toEqual([idsOf('Reel C')[3]]);
    expect(tip?.drift?.limitsBecause).toBe('baseline-of-one');
  });
});

describe('a sweep begins with what the book knows of its tip', () => {
  const five = (occasion: SweepSetup['occasion']) =>
    aSetup({ settings_Pa: psi(20, 30, 40, 50, 60), catchesPerSetting: 1, occasion });

  async function sweep(remote: BenchWorker, views: BenchView[], setup: SweepSetup): Promise<string> {
    const started = await remote.startSweep(setup);
    if (!started.ok) throw new Error(started.because);
    await until(
      () => views.at(-1)?.sweep?.phase === 'done' && views.at(-1)?.sweep?.sweepId === started.value.sweepId,
    );
    const file = await remote.exportCapture(started.value.sweepId);
    return file.ok ? file.value.text.split(/^\d/mu, 1)[0]! : '';
  }

  it('its baseline on this rig, and what the last sweep was said to show', async () => {
    const { remote, views } = connected();
    await remote.openSimulated(bench);
    expect(await sweep(remote, views, five('new-tip'))).not.toContain('reference');
    const second = await sweep(remote, views, five('sweep'));
    expect(second).toContain('# referenceFrom: baseline\n');
    expect(second).not.toContain('earlierFinding');
    const { reference, finding } = views.at(-1)!.sweep!.diagnosis as {
      reference: { from: string };
      finding: { cause: string };
    };
    expect(reference.from).toBe('baseline');
    const third = await sweep(remote, views, five('weekly-check'));
    expect(third).toContain(`# earlierFinding: ${finding.cause}\n`);
    // Another rig has no baseline of it.
    const elsewhere = five('sweep');
    expect(
      await sweep(remote, views, { ...elsewhere, rig: { ...elsewhere.rig, name: 'another' } }),
    ).not.toContain('reference');
    const rack = await remote.rack('book');
    if (!rack.ok) throw new Error(rack.because);
    const [tip] = rack.value.tips;
    expect(tip).toMatchObject({ key: 'simulated:grey tip 7', simulated: true });
    expect(tip!.sweeps).toHaveLength(4);
    const k = Number(/referenceNozzleConstant_m3_per_s_per_sqrtPa: (\S+)/u.exec(second)![1]);
    expect(k / (2.2e-5 / Math.sqrt(275790))).toBeCloseTo(1, 1);
  }, 60_000);
});
