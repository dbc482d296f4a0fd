import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { BenchView, SerialRequest, SimulatedBenchRequest } from '../../../web/contract.ts';
import { BenchService } from '../../../web/worker/bench-service.ts';
import type { BenchStore } from '../../../web/worker/storage/bench-store.ts';
import { memoryStore } from '../../../web/worker/storage/memory-store.ts';
import { PortDouble, SerialDouble } from '../../builders/port-double.ts';
import { aSetup, psi } from '../../builders/setup.ts';

vi.mock('../../../web/worker/app-version.ts', () => ({ APP_VERSION: 'under test' }));

const board: SimulatedBenchRequest = {
  scenario: 'typical80',
  seed: 4,
  speed: 20,
  instrument: 'bench-board',
  tipFlowAt275790Pa_m3_per_s: 2.2e-5,
};
const scale: SerialRequest = {
  portIndex: 0,
  kind: 'scale',
  baudRate: 9600,
  bareUnit: 'g',
  averagedReadings: null,
  gramsPerCount: null,
  pulsesPerLitre: null,
};
const short = aSetup({ settings_Pa: psi(20, 60), catchesPerSetting: 1 });

/** One run of the program; runs with the same store are one after the other. */
async function aRun(store: BenchStore): Promise<{ service: BenchService; view: () => BenchView }> {
  const service = new BenchService(() => Promise.resolve({ store, storage: { ok: true, value: true } }));
  let last: BenchView | undefined;
  await service.hello({
    view: (view) => void (last = view),
    trace: () => undefined,
    announce: () => undefined,
  });
  await vi.advanceTimersByTimeAsync(200);
  return {
    service,
    view: () => {
      if (last === undefined) throw new Error('nothing was sent');
      return last;
    },
  };
}

async function until(condition: () => boolean): Promise<void> {
  for (let tick = 0; tick < 2400; tick += 1) {
    if (condition()) return;
    await vi.advanceTimersByTimeAsync(50);
    await new Promise((resolve) => setImmediate(resolve));
  }
  throw new Error('never came');
}

/** A board's sweep that died after its first catch. */
async function halfSweep(store: BenchStore): Promise<string> {
  const { service, view } = await aRun(store);
  await service.openSimulated(board);
  const started = await service.startSweep(short);
  if (!started.ok) throw new Error(started.because);
  await until(() => view().sweep?.catches.length === 1);
  await vi.advanceTimersByTimeAsync(500);
  vi.clearAllTimers();
  return started.value.sweepId;
}

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'setInterval', 'clearTimeout', 'clearInterval', 'performance'] });
});

afterEach(() => {
  vi.clearAllTimers();
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

describe('a kept sweep taken up again', () => {
  it('goes on with the simulated board that wrote it, whatever bench is open', async () => {
    for (const open of [{ ...board, scenario: 'typical', instrument: 'scale' } as const, null]) {
      const store = memoryStore();
      const sweepId = await halfSweep(store);
      const { service, view } = await aRun(store);
      if (open !== null) await service.openSimulated(open);
      expect(await service.resumeSweep(sweepId)).toEqual({ ok: true, value: { sweepId } });
      await until(() => view().sweep?.phase === 'done');
      expect(view().instrument.kind).toBe('bench-board');
      expect(view().sweep!.plan.map((p) => p.done)).toEqual([1, 1]);
      const good = view().sweep!.catches.filter((c) => c.voidBecause === null);
      expect(good).toHaveLength(2);
      expect(good.map((c) => c.setting_Pa! > 0 && c.start_s > 0)).toEqual([true, true]);
    }
  });

  it('is refused on an instrument that would read its lines differently', async () => {
    const serial = new SerialDouble();
    const port = new PortDouble();
    serial.plug(port);
    vi.stubGlobal('navigator', { serial });
    const store = memoryStore();
    const first = await aRun(store);
    await first.service.openSerial(scale);
    for (let i = 0; i < 10; i += 1) {
      port.send(' 512.0 g\r\n');
      await vi.advanceTimersByTimeAsync(100);
    }
    const started = await first.service.startSweep(short);
    if (!started.ok) throw new Error(started.because);
    await vi.advanceTimersByTimeAsync(2000);
    vi.clearAllTimers();
    await port.close().catch(() => undefined);
    serial.ports = [new PortDouble()];

    const { service } = await aRun(store);
    const { sweepId } = started.value;
    expect(await service.resumeSweep(sweepId)).toMatchObject({ because: 'instrument-not-open' });
    await service.openSerial({ ...scale, bareUnit: 'kg' });
    expect(await service.resumeSweep(sweepId)).toMatchObject({ because: 'another-kind-of-instrument' });
    await service.openSerial({ ...scale, kind: 'bench-board', gramsPerCount: 0.002 });
    expect(await service.resumeSweep(sweepId)).toMatchObject({ because: 'another-kind-of-instrument' });
    await service.openSerial(scale);
    expect(await service.resumeSweep(sweepId)).toEqual({ ok: true, value: { sweepId } });
    await service.endSweep();
    await service.closeInstrument();
  });

  it('remembers why a catch was struck, and strikes the one that was kept', async () => {
    const store = memoryStore();
    const first = await aRun(store);
    await first.service.openSimulated(board);
    const started = await first.service.startSweep(
      aSetup({ settings_Pa: psi(20, 60), catchesPerSetting: 2 }),
    );
    if (!started.ok) throw new Error(started.because);
    await until(() => first.view().sweep?.catches.length === 2);
    await first.service.strike(0, 'the wand slipped');
    await vi.advanceTimersByTimeAsync(500);
    vi.clearAllTimers();
    const { sweepId } = started.value;
    const { service, view } = await aRun(store);
    await service.resumeSweep(sweepId);
    await vi.advanceTimersByTimeAsync(200);
    expect(view().sweep!.catches[0]).toMatchObject({ struck: true, struckReason: 'the wand slipped' });
    expect(await service.strike(1, 'this one too')).toMatchObject({ ok: true });
    await service.endSweep();
    await service.openSweep(sweepId); // all is written
    const records = await store.records(sweepId);
    if (!records.ok) throw new Error(records.because);
    const kept = records.value.filter((record) => record.kind === 'catch');
    const strikes = records.value.filter((record) => record.kind === 'strike');
    expect(strikes.map((strike) => strike.start_s)).toEqual(kept.slice(0, 2).map((one) => one.start_s));
  });

  it('is refused when its catches are kept but their lines are gone: nothing good is made twice', async () => {
    const store = memoryStore();
    const sweepId = await halfSweep(store);
    const { service, view } = await aRun({
      ...store,
      captureText: () => Promise.resolve({ ok: true, value: [] }),
    });
    await service.openSimulated(board);
    expect(await service.resumeSweep(sweepId)).toMatchObject({ ok: false, because: 'record-not-found' });
    expect(view().sweep).toBeNull();
  });
});
