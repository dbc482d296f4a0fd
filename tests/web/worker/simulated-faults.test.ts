import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { BenchView, SimulatedBenchRequest, SimulatedFault } from '../../../web/contract.ts';
import { BenchService } from '../../../web/worker/bench-service.ts';
import { faultsKept, faultsOf } from '../../../web/worker/device/simulated-faults.ts';
import type { BenchStore } from '../../../web/worker/storage/bench-store.ts';
import { memoryStore } from '../../../web/worker/storage/memory-store.ts';
import { aSetup, psi } from '../../builders/setup.ts';

// Whole simulated sweeps: a busy machine needs more than the usual five seconds.
vi.setConfig({ testTimeout: 30_000 });
vi.mock('../../../web/worker/app-version.ts', () => ({ APP_VERSION: 'under test' }));

const bench: SimulatedBenchRequest = {
  scenario: 'typical',
  seed: 4,
  speed: 20,
  instrument: 'scale',
  tipFlowAt275790Pa_m3_per_s: 2.2e-5,
};
const short = aSetup({ settings_Pa: psi(20, 60), catchesPerSetting: 1 });

async function aRun(store: BenchStore) {
  const service = new BenchService(() => Promise.resolve({ store, storage: { ok: true, value: true } }));
  let last: BenchView | undefined;
  await service.hello({
    view: (view) => void (last = view),
    trace: () => undefined,
    announce: () => undefined,
  });
  await vi.advanceTimersByTimeAsync(200);
  return { service, view: () => last! };
}

async function until(condition: () => boolean): Promise<void> {
  for (let tick = 0; tick < 2400; tick += 1) {
    if (condition()) return;
    await vi.advanceTimersByTimeAsync(50);
    await new Promise((resolve) => setImmediate(resolve));
  }
  throw new Error('never came');
}

describe('faults of the simulated bench', () => {
  it('come out of the seed: the same again for the same, another size for another', () => {
    const worn = faultsOf('worn', 7);
    expect(worn).toEqual(faultsOf('worn', 7));
    expect(worn).not.toEqual(faultsOf('worn', 8));
    expect(worn?.[0]?.kind).toBe('worn');
    expect(faultsOf('none', 7)).toBeNull();
    expect(faultsOf(undefined, 7)).toBeNull();
  });

  it('are each what was asked for, and read back from what is kept', () => {
    const named: SimulatedFault[] = [
      ...(['worn', 'restricted', 'leaking', 'pump-limited', 'dial-high', 'dial-low'] as const),
      ...(['dial-gain', 'check-valve', 'battery-sag', 'hose-loss'] as const),
    ];
    for (const fault of named) {
      const faults = faultsOf(fault, 3);
      expect(faults?.[0]?.kind).toBe(fault === 'dial-low' ? 'dial-high' : fault);
      expect(faultsKept(JSON.stringify({ faults }))).toEqual(faults);
    }
    for (const broken of [undefined, '', '[]', '{"faults":3}', '{"faults":[{"kind":"worn","share":"x"}]}'])
      expect(faultsKept(broken)).toBeNull();
  });

  it('drawn can be any of them, or none', () => {
    const seen = new Set<string>();
    for (let seed = 0; seed < 300; seed += 1) {
      const [fault] = faultsOf('drawn', seed) ?? [];
      seen.add(fault === undefined ? 'sound' : fault.kind);
    }
    expect(seen).toEqual(
      new Set([
        ...['sound', 'worn', 'restricted', 'leaking', 'pump-limited', 'dial-high'],
        ...['dial-gain', 'check-valve', 'battery-sag', 'hose-loss'],
      ]),
    );
  });
});

describe('a sweep on a bench with a fault', () => {
  beforeEach(() => {
    vi.useFakeTimers({
      toFake: ['setTimeout', 'setInterval', 'clearTimeout', 'clearInterval', 'performance'],
    });
  });
  afterEach(() => {
    vi.clearAllTimers();
    vi.useRealTimers();
  });

  it('tells it at the end and not before, and taken up again it has the same fault', async () => {
    const store = memoryStore();
    const first = await aRun(store);
    await first.service.openSimulated({ ...bench, fault: 'restricted' });
    const started = await first.service.startSweep(short);
    if (!started.ok) throw new Error(started.because);
    await until(() => first.view().sweep?.catches.length === 1);
    expect(first.view().sweep?.faults ?? null).toBeNull();
    await vi.advanceTimersByTimeAsync(500);
    vi.clearAllTimers();

    const second = await aRun(store);
    expect(await second.service.resumeSweep(started.value.sweepId)).toMatchObject({ ok: true });
    await until(() => second.view().sweep?.phase === 'done');
    const { faults, catches, trueNozzleConstant_m3_per_s_per_sqrtPa: k } = second.view().sweep!;
    expect(faults).toEqual(faultsOf('restricted', bench.seed));
    const share = faults?.[0]?.kind === 'restricted' ? faults[0].share : NaN;
    expect(k).toBeCloseTo((2.2e-5 / Math.sqrt(psi(40)[0]!)) * (1 - share), 14);
    const good = catches.filter((one) => one.voidBecause === null);
    expect(good).toHaveLength(2);
    // The dial is good to 1.5 psi: 3.8 % of flow at 20 psi.
    for (const one of good)
      expect(Math.abs(one.flow_m3_per_s! / (k! * Math.sqrt(one.setting_Pa!)) - 1)).toBeLessThan(0.12);
  });
});
