import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { BenchView, RigCheckRequest, SimulatedBenchRequest } from '../../../web/contract.ts';
import { BenchService } from '../../../web/worker/bench-service.ts';
import { memoryStore } from '../../../web/worker/storage/memory-store.ts';
import { aSetup, psi } from '../../builders/setup.ts';

// A whole simulated sweep of fifteen catches: a busy machine needs more than the usual five seconds.
vi.setConfig({ testTimeout: 60_000 });
vi.mock('../../../web/worker/app-version.ts', () => ({ APP_VERSION: 'under test' }));

const rig = { rigName: 'green knapsack', standsOnScale: 'pail' } as const;

async function until(condition: () => boolean, limit_s = 400): Promise<void> {
  for (let s = 0; s < limit_s * 20; s += 1) {
    if (condition()) return;
    await vi.advanceTimersByTimeAsync(50);
    await new Promise((resolve) => setImmediate(resolve));
  }
  throw new Error('never came');
}

/** Fifteen catches of a tip stamped with what it gives, on a rig with this fault; then the checks, and what is said before and after. */
async function foundWith(
  fault: SimulatedBenchRequest['fault'],
  seed: number,
  checks: readonly RigCheckRequest[],
) {
  const service = new BenchService(() =>
    Promise.resolve({ store: memoryStore(), storage: { ok: true, value: true } }),
  );
  let last: BenchView | undefined;
  await service.hello({
    view: (view) => void (last = view),
    trace: () => undefined,
    announce: () => undefined,
  });
  await service.openSimulated({
    scenario: 'typical',
    seed,
    speed: 20,
    instrument: 'scale',
    tipFlowAt275790Pa_m3_per_s: 2.2e-5,
    fault: fault ?? 'none',
  });
  const tip = { name: 'grey tip 7', ratedFlow_m3_per_s: 2.2e-5, ratedPressure_Pa: psi(40)[0]! };
  const started = await service.startSweep(aSetup({ tip }));
  if (!started.ok) throw new Error(started.because);
  await until(() => last?.sweep?.phase === 'done');
  const said: unknown[] = [];
  const note = (): void => {
    const diagnosis = last?.sweep?.diagnosis;
    said.push(diagnosis != null && 'said' in diagnosis ? diagnosis.said : diagnosis);
  };
  note();
  for (const check of checks) {
    expect(await service.startRigCheck(check, started.value.sweepId)).toMatchObject({ ok: true });
    await vi.advanceTimersByTimeAsync(300);
    await until(() => last?.rigCheck?.isOver === true);
    await service.dismissRigCheck();
    await vi.advanceTimersByTimeAsync(300);
    note();
  }
  return said;
}

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'setInterval', 'clearTimeout', 'clearInterval', 'performance'] });
});

afterEach(() => {
  vi.clearAllTimers();
  vi.useRealTimers();
});

describe('a check of the rig after a sweep makes its finding finer', () => {
  const zero: RigCheckRequest = { ...rig, kind: 'dial-at-zero', division_Pa: null };

  it.each([
    ['dial-high', 'dial-high'],
    ['check-valve', 'check-valve'],
  ] as const)('%s and its double are told apart by the dial at zero', async (fault, named) => {
    const [before, after] = await foundWith(fault, 32, [zero]);
    expect(before).toBe('dial-high-or-check-valve');
    expect(after).toBe(named);
  });
});
