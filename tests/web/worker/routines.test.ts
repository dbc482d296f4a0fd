import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { SweepRecord } from '../../../src/records/bench-record.ts';
import type { SweepSetup } from '../../../src/session/sweep-setup.ts';
import type { BenchSink, BenchView, SimulatedBenchRequest } from '../../../web/contract.ts';
import { BenchService } from '../../../web/worker/bench-service.ts';
import { memoryStore } from '../../../web/worker/storage/memory-store.ts';
import type { BenchStore } from '../../../web/worker/storage/bench-store.ts';
import { aSetup, psi } from '../../builders/setup.ts';

vi.mock('../../../web/worker/app-version.ts', () => ({ APP_VERSION: 'under test' }));

const bench: SimulatedBenchRequest = {
  scenario: 'typical',
  seed: 4,
  speed: 20,
  instrument: 'scale',
  tipFlowAt275790Pa_m3_per_s: 2.2e-5,
};
const none = { ratedFlow_m3_per_s: null, ratedPressure_Pa: null };

function tips(wantedDifference = 0.02, changes: Partial<SweepSetup> = {}): SweepSetup {
  return aSetup({
    settings_Pa: psi(40),
    catchesPerSetting: 2,
    routine: { kind: 'tip-against-tip', otherTip: { name: 'grey tip 8', ...none }, wantedDifference },
    ...changes,
  });
}
const boom = (positions: number): SweepSetup =>
  aSetup({ settings_Pa: psi(40), catchesPerSetting: 1, routine: { kind: 'boom', positions } });

async function serviceWith(store: BenchStore = memoryStore()) {
  const service = new BenchService(() => Promise.resolve({ store, storage: { ok: true, value: true } }));
  const views: BenchView[] = [];
  const sink: BenchSink = {
    view: (view) => void views.push(view),
    trace: () => undefined,
    announce: () => undefined,
  };
  await service.hello(sink);
  return { service, views, sweep: () => views.at(-1)?.sweep ?? null };
}

async function until(condition: () => boolean, limit_s = 200): Promise<void> {
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

describe('routines behind the contract', () => {
  it('two tips: measured, kept, and opened again with the same comparison, from lines and from packed readings', async () => {
    const store = memoryStore();
    const { service, sweep } = await serviceWith(store);
    await service.openSimulated(bench);
    expect((await service.startSweep(tips())).ok).toBe(true);
    await until(() => sweep()?.phase === 'done' || sweep()?.prompt.kind === 'more-catches');
    if (sweep()!.phase !== 'done') await service.endSweep();
    const { sweepId, routine, catches, trueNozzleShares, picture } = sweep()!;
    expect(picture).toBeNull();
    expect(trueNozzleShares).toHaveLength(2);
    const several = routine!.several!;
    const fromLines = await service.openSweep(sweepId);
    if (!fromLines.ok) throw new Error(fromLines.because);
    expect(fromLines.value.several).toEqual(several);
    expect(fromLines.value.labels).toEqual(catches.map((c) => c.label));
    // The raw lines are let go of: what is left are the packed readings and the marks of the sweep's end.
    const records = await store.records(sweepId);
    if (!records.ok) throw new Error(records.because);
    const id = '01890000-0000-7000-8000-000000000001';
    await store.add({ ...(records.value[0] as SweepRecord), id, sweepId: id });
    await store.pruneRaw(0);
    const fromColumns = await service.openSweep(sweepId);
    if (!fromColumns.ok) throw new Error(fromColumns.because);
    expect(await store.captureText(sweepId)).toEqual({ ok: true, value: [] });
    expect(fromColumns.value.labels).toEqual(catches.map((c) => c.label));
    if (several.kind !== 'two' || fromColumns.value.several?.kind !== 'two') throw new Error('not two');
    // What lay between the catches is gone, so the clock is found anew: a hundredth of the ± at most.
    const { ratio, expandedUncertainty95 } = several.compared!;
    const moved = Math.abs(fromColumns.value.several.compared!.ratio - ratio);
    expect(moved).toBeLessThan(0.02 * expandedUncertainty95);
  });

  it('a boom: every position against the mean, the first one again', async () => {
    const { service, sweep } = await serviceWith();
    await service.openSimulated(bench);
    await service.startSweep(boom(3));
    await until(() => sweep()?.phase === 'done');
    const { several } = sweep()!.routine!;
    if (several?.kind !== 'set') throw new Error('no set');
    expect(several.compared!.members.map((m) => [m.label, m.catches])).toEqual([
      ['1', 1],
      ['2', 1],
      ['3', 1],
    ]);
    expect(several.compared!.repeat).not.toBeNull();
  });

  it('a routine is taken up again where it stood', async () => {
    const store = memoryStore();
    const first = await serviceWith(store);
    await first.service.openSimulated(bench);
    const started = await first.service.startSweep(tips());
    if (!started.ok) throw new Error(started.because);
    await until(() => (first.sweep()?.catches.length ?? 0) === 2);
    const again = await serviceWith(store);
    const resumed = await again.service.resumeSweep(started.value.sweepId);
    expect(resumed.ok).toBe(true);
    await until(() => again.sweep()?.phase === 'done' || again.sweep()?.prompt.kind === 'more-catches');
    const labels = again
      .sweep()!
      .catches.filter((c) => c.voidBecause === null && !c.struck)
      .map((c) => c.label);
    expect(labels).toEqual(['grey tip 7', 'grey tip 8', 'grey tip 8', 'grey tip 7']);
  });

  it('refuses what can’t be measured, by name', async () => {
    const { service } = await serviceWith();
    await service.openSimulated(bench);
    const other = (name: string): SweepSetup =>
      tips(0.02, {
        routine: { kind: 'tip-against-tip', otherTip: { name, ...none }, wantedDifference: 0.02 },
      });
    for (const [setup, because] of [
      [other(' GREY  tip 7 '), 'same-tip-twice'],
      [other('  '), 'name-missing'],
      [other('x'.repeat(201)), 'name-too-long'],
      [boom(1), 'positions-absurd'],
      [boom(2.5), 'positions-absurd'],
      [boom(61), 'positions-absurd'],
      [tips(0), 'difference-absurd'],
      [tips(0.9), 'difference-absurd'],
      [tips(Number.NaN), 'difference-absurd'],
      [tips(0.02, { settings_Pa: psi(20, 40) }), 'routine-needs-one-setting'],
      [tips(0.02, { settingsFrom: 'sensor' }), 'routine-needs-one-setting'],
      [tips(0.02, { protocol: 'one-pour' }), 'routine-needs-one-setting'],
      [tips(0.02, { rig: { ...aSetup().rig, kind: 'pumped-up' } }), 'routine-needs-held-pressure'],
      [tips(0.02, { rig: { ...aSetup().rig, standsOnScale: 'sprayer' } }), 'routine-needs-held-pressure'],
    ] as const) {
      const answer = await service.startSweep(setup);
      expect(answer.ok ? 'began' : answer.because).toBe(because);
    }
    await service.openSimulated({ ...bench, instrument: 'bench-board', meterAlone: true });
    const alone = await service.startSweep(boom(3));
    expect(alone.ok ? 'began' : alone.because).toBe('routine-needs-a-scale');
  });
});

describe('how many catches a difference takes', () => {
  it('plans whole rounds, fewer for a larger difference, from the ± of a catch where nothing was measured yet', async () => {
    const { service } = await serviceWith();
    const plan = async (difference: number) => {
      const answer = await service.planTips(tips(difference));
      if (!answer.ok) throw new Error(answer.because);
      return answer.value;
    };
    const [one, two, five] = [await plan(0.01), await plan(0.02), await plan(0.05)];
    expect(one).toMatchObject({ from: 'target', catchStandardDeviation: 0.0025 });
    expect(one.catchesPerTip).toBeGreaterThan(two.catchesPerTip - 1);
    expect(five.catchesPerTip).toBe(2);
    for (const { catchesPerTip } of [one, two, five]) expect(catchesPerTip % 2).toBe(0);
    expect(one.seenDifference).toBeLessThanOrEqual(0.01);
  });

  it('plans from what catches of the same rig and wand were worth', async () => {
    const { service, sweep } = await serviceWith();
    await service.openSimulated(bench);
    await service.startSweep(aSetup({ settings_Pa: psi(20, 40), catchesPerSetting: 2 }));
    await until(() => sweep()?.phase === 'done');
    const plan = await service.planTips(tips(0.01));
    expect(plan.ok && plan.value.from).toBe('earlier-sweeps');
    const other = await service.planTips(tips(0.01, { rig: { ...aSetup().rig, name: 'red knapsack' } }));
    expect(other.ok && other.value.from).toBe('target');
  });

  it('says that a difference takes too many, and which could be seen', async () => {
    const { service } = await serviceWith();
    const answer = await service.planTips(tips(0.002, { targetRelative: 0.03 }));
    expect(answer).toMatchObject({ ok: false, because: 'difference-needs-too-many' });
    expect(answer.ok ? 0 : answer.facts?.['least']).toBeGreaterThan(0.002);
  });
});
