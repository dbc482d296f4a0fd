import * as Comlink from 'comlink';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type {
  Announcement,
  BenchSink,
  BenchView,
  BenchWorker,
  SimulatedBenchRequest,
} from '../../../web/contract.ts';
import { BenchService } from '../../../web/worker/bench-service.ts';
import { memoryStore } from '../../../web/worker/storage/memory-store.ts';
import type { BenchStore } from '../../../web/worker/storage/bench-store.ts';
import { aSetup, psi } from '../../builders/setup.ts';

vi.mock('../../../web/worker/app-version.ts', () => ({ APP_VERSION: 'under test' }));

const bench: SimulatedBenchRequest = {
  scenario: 'clean',
  seed: 4,
  speed: 20,
  instrument: 'scale',
  tipFlowAt275790Pa_m3_per_s: 2.2e-5,
};
const short = aSetup({ settings_Pa: psi(20, 60), catchesPerSetting: 1 });

/** The worker's real entry over a real message channel: what can't be cloned fails here as it would in the browser. */
function connected(store: BenchStore = memoryStore()): {
  remote: BenchWorker;
  views: BenchView[];
  said: Announcement[];
  sink: BenchSink;
  points: () => number;
} {
  const { port1, port2 } = new MessageChannel();
  Comlink.expose(
    new BenchService(() => Promise.resolve({ store, storage: { ok: true, value: true } })),
    port1,
  );
  const views: BenchView[] = [];
  const said: Announcement[] = [];
  let points = 0;
  const sink: BenchSink = {
    view: (view) => void views.push(view),
    trace: (batch) => void (points += batch.time_s.length),
    announce: (announcement) => void said.push(announcement),
  };
  return { remote: Comlink.wrap<BenchWorker>(port2), views, said, sink, points: () => points };
}

/** Time flies: the simulated bench's timer is the only clock here. */
async function until(condition: () => boolean, limit_s = 120): Promise<void> {
  for (let s = 0; s < limit_s * 20; s += 1) {
    if (condition()) return;
    await vi.advanceTimersByTimeAsync(50);
    await new Promise((resolve) => setImmediate(resolve));
  }
  throw new Error('never came');
}

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'setInterval', 'clearTimeout', 'clearInterval'] });
});

afterEach(() => {
  vi.useRealTimers();
});

describe('the worker behind its contract', () => {
  it('runs a simulated sweep to its end and keeps it', async () => {
    const { remote, views, said, sink, points } = connected();
    await remote.hello(Comlink.proxy(sink));
    expect(await remote.openSimulated(bench)).toEqual({ ok: true, value: true });
    const started = await remote.startSweep(short);
    expect(started.ok).toBe(true);
    await until(() => views.at(-1)?.sweep?.phase === 'done');
    const sweep = views.at(-1)!.sweep!;
    expect(sweep.simulated).toBe(true);
    expect(sweep.notKept).toBeNull();
    // Nobody has checked the simulated scale either.
    expect(sweep.warnings).toContain('scale-not-checked');
    expect(sweep.plan.map((p) => p.done)).toEqual([1, 1]);
    expect(said.map((a) => a.kind)).toContain('done');
    expect(points()).toBeGreaterThan(300);
    expect(sweep.trueNozzleConstant_m3_per_s_per_sqrtPa).toBeCloseTo(2.2e-5 / Math.sqrt(275790), 12);
    expect(sweep.conditions).toBe('clean');

    const listed = await remote.listSweeps();
    expect(listed.ok && listed.value).toMatchObject([
      { sweepId: sweep.sweepId, finished: true, catches: 2, simulated: true },
    ]);
    const exported = await remote.exportCapture(sweep.sweepId);
    const file = new Blob([exported.ok ? exported.value.text : '']);
    const analysed = await remote.analyseFile('a.txt', file);
    expect(analysed.ok && analysed.value.picture).toEqual(sweep.picture);
    const opened = await remote.openSweep(sweep.sweepId);
    expect(opened.ok && opened.value.picture).toEqual(sweep.picture);

    // Its budgets come a moment after the end, and are those of the saved file.
    expect(
      views.every((view) => view.sweep?.phase === 'done' || (view.sweep?.budgets ?? null) === null),
    ).toBe(true);
    await until(() => (views.at(-1)?.sweep?.budgets ?? null) !== null);
    const { budgets } = views.at(-1)!.sweep!;
    expect(analysed.ok && analysed.value.budgets).toEqual(budgets);
    expect(budgets!.nozzleConstant!.value).toBe(sweep.picture!.curve.nozzleConstant_m3_per_s_per_sqrtPa);
    expect(budgets!.catches).toHaveLength(2);
  });

  it('opens a sweep whose raw lines were let go of from its packed readings, with the same curve', async () => {
    for (const instrument of ['scale', 'bench-board'] as const) {
      const store = memoryStore();
      const { remote, views, sink } = connected(store);
      await remote.hello(Comlink.proxy(sink));
      await remote.openSimulated({ ...bench, scenario: 'typical', instrument });
      await remote.startSweep(short);
      await until(() => views.at(-1)?.sweep?.catches.length === 1);
      await remote.strike(0, 'to be made again');
      await until(() => views.at(-1)?.sweep?.phase === 'done');
      const sweep = views.at(-1)!.sweep!;
      expect(sweep.catches).toHaveLength(3);
      await remote.openSweep(sweep.sweepId); // all is written
      expect(await store.pruneRaw(0)).toEqual({ ok: true, value: 1 });
      const opened = await remote.openSweep(sweep.sweepId);
      if (!opened.ok) throw new Error(opened.because);
      const { catches } = opened.value.analysis;
      expect(catches.map((c) => [c.setting_Pa, c.struck, c.voidBecause])).toEqual(
        sweep.catches.map((c) => [c.setting_Pa, c.struck, c.voidBecause]),
      );
      const k = sweep.picture!.curve.nozzleConstant_m3_per_s_per_sqrtPa;
      const again = opened.value.picture!.curve.nozzleConstant_m3_per_s_per_sqrtPa;
      expect(Math.abs(again / k - 1)).toBeLessThan(1e-3);
      expect(await remote.exportCapture(sweep.sweepId)).toMatchObject({ ok: true });
    }
  });

  it('gives every point of a pumped-up can’s pours again when its raw lines were let go of, struck as they were', async () => {
    const store = memoryStore();
    const { remote, views, sink } = connected(store);
    await remote.hello(Comlink.proxy(sink));
    await remote.openSimulated({
      ...bench,
      instrument: 'bench-board',
      toBeChecked: true,
      rig: { kind: 'pumped-up', standsOnScale: 'pail', strokePeriod_s: null },
    });
    await remote.startSweep(aSetup({ ...short, rig: { ...short.rig, kind: 'pumped-up' } }));
    await until(() => (views.at(-1)?.sweep?.running ?? null) !== null);
    const { start_s } = views.at(-1)!.sweep!.running!;
    const points = (): number => views.at(-1)!.sweep!.catches.length;
    await until(() => points() > 1);
    const first = points();
    // It has closed before the strike came: the strike means all of it.
    expect(await remote.strikeStarted(start_s, 'hand slipped')).toMatchObject({ ok: true });
    await until(() => points() > first);
    await remote.strike(first + 1, 'knocked');
    await until(() => views.at(-1)?.sweep?.phase === 'done');
    const sweep = views.at(-1)!.sweep!;
    const isStruck = (i: number): boolean => i < first || i === first + 1;
    expect(new Set(sweep.catches.map((c) => c.pour)).size).toBe(3);
    expect(sweep.catches.map((c) => c.struck)).toEqual(sweep.catches.map((_, i) => isStruck(i)));
    await remote.openSweep(sweep.sweepId); // all is written
    expect(await store.pruneRaw(0)).toEqual({ ok: true, value: 1 });
    const opened = await remote.openSweep(sweep.sweepId);
    if (!opened.ok) throw new Error(opened.because);
    expect(opened.value.analysis.catches.map((c) => [c.pour, c.struck, c.voidBecause])).toEqual(
      sweep.catches.map((c, i) => [c.pour, isStruck(i), null]),
    );
    const k = sweep.picture!.curve.nozzleConstant_m3_per_s_per_sqrtPa;
    const again = opened.value.picture!.curve.nozzleConstant_m3_per_s_per_sqrtPa;
    expect(Math.abs(again / k - 1)).toBeLessThan(1e-3);
  });

  it('takes up a sweep that another run of the program left unfinished', async () => {
    const store = memoryStore();
    const first = connected(store);
    await first.remote.hello(Comlink.proxy(first.sink));
    await first.remote.openSimulated(bench);
    const started = await first.remote.startSweep(short);
    if (!started.ok) throw new Error(started.because);
    await until(() => first.views.at(-1)?.sweep?.catches.length === 1);
    await until(() => first.views.at(-1)?.sweep?.phase === 'filling');
    // The program dies here: no timer of it fires again, nothing is closed; the next one finds what was kept.
    vi.clearAllTimers();
    const second = connected(store);
    await second.remote.hello(Comlink.proxy(second.sink));
    const listed = await second.remote.listSweeps();
    expect(listed.ok && listed.value[0]).toMatchObject({ finished: false, catches: 1 });
    await second.remote.openSimulated({ ...bench, seed: 99, tipFlowAt275790Pa_m3_per_s: null });
    const resumed = await second.remote.resumeSweep(started.value.sweepId);
    expect(resumed).toEqual({ ok: true, value: { sweepId: started.value.sweepId } });
    await until(() => second.views.at(-1)?.sweep?.phase === 'done');
    const sweep = second.views.at(-1)!.sweep!;
    expect(sweep.plan.map((p) => p.done)).toEqual([1, 1]);
    const good = sweep.catches.filter((c) => c.voidBecause === null);
    expect(good).toHaveLength(2);
    expect(sweep.catches.filter((c) => c.voidBecause !== null).map((c) => c.voidBecause)).toEqual([
      'app-restarted',
    ]);
    const opened = await second.remote.openSweep(sweep.sweepId);
    expect(opened.ok && opened.value.picture).toEqual(sweep.picture);
  });

  it('goes on measuring when the disk is full, and says that it is not kept', async () => {
    const full = { ok: false, because: 'storage-full' } as const;
    const store: BenchStore = {
      ...memoryStore(),
      add: () => Promise.resolve(full),
      addCatch: () => Promise.resolve(full),
      addReadings: () => Promise.resolve(full),
    };
    const { remote, views, sink } = connected(store);
    await remote.hello(Comlink.proxy(sink));
    await remote.openSimulated(bench);
    const started = await remote.startSweep(short);
    await until(() => views.at(-1)?.sweep?.phase === 'done');
    expect(views.at(-1)!.sweep!.notKept).toBe('storage-full');
    expect(views.at(-1)!.sweep!.picture).not.toBeNull();
    const exported = await remote.exportCapture(started.ok ? started.value.sweepId : '');
    expect(exported.ok && exported.value.text.split('\n').length).toBeGreaterThan(300);
  });

  it('refuses what can not be done, with the reason as a value', async () => {
    const { remote, sink } = connected();
    await remote.hello(Comlink.proxy(sink));
    expect(await remote.startSweep(short)).toMatchObject({ ok: false, because: 'instrument-not-open' });
    expect(await remote.pause()).toMatchObject({ ok: false, because: 'no-sweep-running' });
    expect(await remote.setSpeed(5)).toMatchObject({ ok: false, because: 'instrument-not-open' });
    const serial = { portIndex: 0, kind: 'scale', baudRate: 9600, bareUnit: 'g', averagedReadings: null, gramsPerCount: null, pulsesPerLitre: null } as const; // prettier-ignore
    expect(await remote.openSerial(serial)).toMatchObject({ ok: false, because: 'no-serial-here' });
    expect(await remote.openSweep('none')).toMatchObject({ ok: false });
    expect(await remote.analyseFile('x', new Blob(['hello']))).toMatchObject({
      ok: false,
      because: 'not-a-capture',
    });
    await remote.openSimulated(bench);
    expect(await remote.startSweep({ ...short, settings_Pa: [-5] })).toMatchObject({
      because: 'setting-not-positive',
    });
    await remote.startSweep(short);
    expect(await remote.startSweep(short)).toMatchObject({ ok: false, because: 'sweep-running' });
    expect(await remote.closeInstrument()).toMatchObject({ ok: false, because: 'sweep-running' });
    await remote.endSweep();
    expect(await remote.closeInstrument()).toEqual({ ok: true, value: true });
  });

  it('refuses a file that is too big unread, and one that vanished while it was read', async () => {
    const service = new BenchService();
    const stream = (): ReadableStream =>
      new ReadableStream({ pull: () => Promise.reject(new Error('gone')) });
    expect(await service.analyseFile('a', { size: 600e6, stream } as Blob)).toMatchObject({
      because: 'capture-too-big',
      facts: { size_bytes: 600e6 },
    });
    expect(await service.analyseFile('a', { size: 10, stream } as Blob)).toMatchObject({
      because: 'file-not-found',
    });
  });

  it('keeps a sweep timed by hand and opens it again with the same curve', async () => {
    const { remote, sink } = connected();
    await remote.hello(Comlink.proxy(sink));
    const catches = psi(20, 40, 60).map((setting_Pa) => ({
      setting_Pa,
      duration_s: 30,
      volume_m3: 4.1e-8 * Math.sqrt(setting_Pa) * 30,
      markSpacing_m3: 1e-4,
    }));
    const shown = await remote.analyseByHand(short, catches);
    const first = await remote.keepByHand(short, catches.slice(0, 1), null);
    const kept = await remote.keepByHand(short, catches, first.ok ? first.value : null);
    expect(kept.ok && first.ok && kept.value.sweepId).toBe(first.ok && first.value.sweepId);
    const listed = await remote.listSweeps();
    expect(listed.ok && listed.value).toMatchObject([{ timedByHand: true, catches: 3 }]);
    const opened = await remote.openSweep(kept.ok ? kept.value.sweepId : '');
    expect(shown.ok && opened.ok && opened.value.picture).toEqual(shown.ok && shown.value.picture);
    expect(shown.ok && shown.value.picture?.curve.nozzleConstant_m3_per_s_per_sqrtPa).toBeCloseTo(4.1e-8, 12);
    const refused = await remote.analyseByHand(short, [{ ...catches[0]!, duration_s: 0 }]);
    expect(refused).toMatchObject({ ok: false, because: 'time-not-positive', facts: { catch: 1 } });
  });
});
