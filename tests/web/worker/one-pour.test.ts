import * as Comlink from 'comlink';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type {
  Announcement,
  BenchSink,
  BenchView,
  BenchWorker,
  CheckRequest,
  SimulatedBenchRequest,
  SimulatedSpeed,
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
const pour = aSetup({ protocol: 'one-pour', settings_Pa: psi(20, 40, 60), catchesPerSetting: 1 });

/** The worker's real entry over a real message channel. */
function connected(store: BenchStore = memoryStore()) {
  const { port1, port2 } = new MessageChannel();
  Comlink.expose(
    new BenchService(() => Promise.resolve({ store, storage: { ok: true, value: true } })),
    port1,
  );
  const views: BenchView[] = [];
  const said: Announcement[] = [];
  const sink: BenchSink = {
    view: (view) => void views.push(view),
    trace: () => undefined,
    announce: (announcement) => void said.push(announcement),
  };
  return { remote: Comlink.wrap<BenchWorker>(port2), views, said, sink };
}

async function until(condition: () => boolean, limit_s = 300): Promise<void> {
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

describe('a flow meter alone, nothing weighed', () => {
  it.each(['each-catch', 'one-pour'] as const)(
    'runs a sweep (%s) with the simulated person, shows the water that passed, and its capture says the same',
    async (protocol) => {
      const { remote, views, sink } = connected();
      await remote.hello(Comlink.proxy(sink));
      await remote.openSimulated({
        ...bench,
        scenario: 'typical',
        instrument: 'bench-board',
        meterAlone: true,
      });
      expect(await remote.startSweep({ ...pour, protocol })).toMatchObject({ ok: true });
      await until(() => views.at(-1)?.sweep?.phase === 'done');
      const sweep = views.at(-1)!.sweep!;
      expect(sweep.plan.map((p) => p.done)).toEqual([1, 1, 1]);
      expect(new Set(sweep.catches.map((c) => c.flowFrom))).toEqual(new Set(['pulses']));
      expect(sweep.warnings).toContain('meter-not-checked');
      // The number while it ran was of the size of the one that was kept.
      const ran = views.flatMap((view) => view.sweep?.running?.flow_m3_per_s ?? []);
      const kept = sweep.catches.map((c) => c.flow_m3_per_s!);
      expect(Math.max(...ran)).toBeLessThan(1.1 * Math.max(...kept));
      const k = sweep.picture!.curve.nozzleConstant_m3_per_s_per_sqrtPa;
      expect(k / sweep.trueNozzleConstant_m3_per_s_per_sqrtPa!).toBeCloseTo(1, 1);
      const capture = await remote.exportCapture(sweep.sweepId);
      if (!capture.ok) throw new Error(capture.because);
      expect(capture.value.text).not.toContain('gramsPerCount');
      const file = await remote.analyseFile('a', new Blob([capture.value.text]));
      if (!file.ok) throw new Error(file.because);
      expect(file.value.analysis.catches.map((c) => c.flow_m3_per_s)).toEqual(kept);
      expect(file.value.analysis.curve!.nozzleConstant_m3_per_s_per_sqrtPa).toBe(k);
      // What passed the meter is drawn: a trace that rises, and no hole where a scale would be.
      const { mass_kg } = file.value.trace;
      expect(mass_kg.every((kg, i) => i === 0 || kg >= mass_kg[i - 1]! - 1e-9)).toBe(true);
      expect(mass_kg.at(-1)! - mass_kg[0]!).toBeGreaterThan(0.5);
      expect(file.value.analysis.warnings).not.toContain('rig-read-as-held');
      const withHose = capture.value.text.replace(
        '# pulsesPerLitre',
        '# rigKind: hose-reel\n# pulsesPerLitre',
      );
      const hose = await remote.analyseFile('b', new Blob([withHose]));
      expect(hose.ok && hose.value.analysis.warnings).toContain('rig-read-as-held');
    },
  );

  it('is refused for a rig whose flow is not simply steady, and for a sprayer on a scale that is not there', async () => {
    const { remote, sink } = connected();
    await remote.hello(Comlink.proxy(sink));
    await remote.openSimulated({ ...bench, instrument: 'bench-board', meterAlone: true });
    const plain = { ...pour, protocol: 'each-catch' as const };
    for (const rig of [{ kind: 'hose-reel' as const }, { standsOnScale: 'sprayer' as const }])
      expect(await remote.startSweep({ ...plain, rig: { ...plain.rig, ...rig } })).toMatchObject({
        because: 'meter-alone-needs-held-pressure',
      });
  });

  it('has no scale to check, and says so', async () => {
    const { remote, sink } = connected();
    await remote.hello(Comlink.proxy(sink));
    await remote.openSimulated({ ...bench, instrument: 'bench-board', meterAlone: true });
    const check = {
      kind: 'scale',
      references: [{ kind: 'mass', mass_kg: 2, relativeStandardUncertainty: 1e-4 }],
      limit_kg: 20,
    };
    expect(await remote.startCheck(check as CheckRequest, null)).toMatchObject({ because: 'no-mass' });
  });
});

describe('one pour through the worker', () => {
  it.each([1, 5, 20] as const)(
    'runs three settings in one pour with the simulated person at %ix, keeps each, and its capture says the same',
    async (speed: SimulatedSpeed) => {
      const store = memoryStore();
      const { remote, views, said, sink } = connected(store);
      await remote.hello(Comlink.proxy(sink));
      await remote.openSimulated({ ...bench, speed });
      expect(await remote.startSweep(pour)).toMatchObject({ ok: true });
      await until(() => views.at(-1)?.sweep?.phase === 'done');
      const sweep = views.at(-1)!.sweep!;
      expect(sweep.plan.map((p) => p.done)).toEqual([1, 1, 1]);
      expect(said.filter((a) => a.kind === 'turn-while-spraying').map((a) => a.setting_Pa)).toEqual(
        psi(40, 60),
      );
      const exported = await remote.exportCapture(sweep.sweepId);
      if (!exported.ok) throw new Error(exported.because);
      expect(exported.value.text).toMatch(/^#catchbench-capture 1\n[\s\S]*# settingProtocol: set-once/);
      const analysed = await remote.analyseFile('a.txt', new Blob([exported.value.text]));
      expect(analysed.ok && analysed.value.picture).toEqual(sweep.picture);
      const listed = await remote.listSweeps();
      expect(listed.ok && listed.value[0]).toMatchObject({ catches: 3, finished: true, simulated: true });
      const opened = await remote.openSweep(sweep.sweepId);
      expect(opened.ok && opened.value.picture).toEqual(sweep.picture);
      // Only packed readings left: the pour is cut into the same settings by its kept marks.
      await store.pruneRaw(0);
      const packed = await remote.openSweep(sweep.sweepId);
      if (!packed.ok) throw new Error(packed.because);
      expect(packed.value.analysis.catches.map((c) => c.setting_Pa)).toEqual(psi(20, 40, 60));
      packed.value.analysis.catches.forEach((c, i) => {
        expect(c.flow_m3_per_s! / sweep.catches[i]!.flow_m3_per_s!).toBeCloseTo(1, 3);
      });
    },
    30_000,
  );

  it('goes on after the program died in the second setting, with the first one kept', async () => {
    const store = memoryStore();
    const first = connected(store);
    await first.remote.hello(Comlink.proxy(first.sink));
    await first.remote.openSimulated(bench);
    const started = await first.remote.startSweep(pour);
    if (!started.ok) throw new Error(started.because);
    await until(() => {
      const sweep = first.views.at(-1)?.sweep;
      return sweep?.settingNow_Pa === psi(40)[0] && (sweep!.running?.elapsed_s ?? 0) > 8;
    });
    vi.clearAllTimers();
    const second = connected(store);
    await second.remote.hello(Comlink.proxy(second.sink));
    await second.remote.openSimulated(bench);
    expect(await second.remote.resumeSweep(started.value.sweepId)).toMatchObject({ ok: true });
    await until(() => second.views.at(-1)?.sweep?.phase === 'done');
    const sweep = second.views.at(-1)!.sweep!;
    expect(sweep.plan.map((p) => p.done)).toEqual([1, 1, 1]);
    expect(sweep.catches.filter((c) => c.voidBecause === 'app-restarted')).toHaveLength(1);
    expect(sweep.catches[0]).toMatchObject({ setting_Pa: psi(20)[0], voidBecause: null });
  }, 30_000);

  it('reads the settings from the board’s pressure sensor, and refuses to where there is none', async () => {
    const { remote, views, said, sink } = connected();
    await remote.hello(Comlink.proxy(sink));
    await remote.openSimulated(bench);
    const setup = aSetup({ settingsFrom: 'sensor', settings_Pa: psi(20, 60), catchesPerSetting: 1 });
    expect(await remote.startSweep(setup)).toMatchObject({ ok: false, because: 'no-pressure-sensor' });
    await remote.openSimulated({
      ...bench,
      instrument: 'bench-board',
      pressureSensor: true,
      flowMeter: true,
    });
    expect(await remote.startSweep(setup)).toMatchObject({ ok: true });
    await until(() => views.at(-1)?.sweep?.phase === 'done');
    expect(views.at(-1)!.sweep!.plan.map((p) => p.done)).toEqual([1, 1]);
    for (const c of views.at(-1)!.sweep!.catches) expect(c.pressure_Pa).toBeGreaterThan(1e5);
    expect(said.some((a) => a.kind === 'pressure-read')).toBe(true);
  }, 30_000);

  it('refuses settings that are too close to tell apart', async () => {
    const { remote, sink } = connected();
    await remote.hello(Comlink.proxy(sink));
    await remote.openSimulated(bench);
    expect(await remote.startSweep({ ...pour, settings_Pa: psi(40, 41) })).toMatchObject({
      ok: false,
      because: 'settings-too-close',
    });
  });
});
