import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { RigCheckRecord } from '../../../src/records/bench-record.ts';
import type {
  BenchView,
  RigCheckRequest,
  RigCheckView,
  SimulatedBenchRequest,
} from '../../../web/contract.ts';
import { BenchService } from '../../../web/worker/bench-service.ts';
import { newEnvelope } from '../../../web/worker/record-envelope.ts';
import { rigFoundToday } from '../../../web/worker/rig-found-today.ts';
import { memoryStore } from '../../../web/worker/storage/memory-store.ts';
import { aSetup, psi } from '../../builders/setup.ts';

// Whole simulated sweeps: a busy machine needs more than the usual five seconds.
vi.setConfig({ testTimeout: 30_000 });
vi.mock('../../../web/worker/app-version.ts', () => ({ APP_VERSION: 'under test' }));

const PSI = 6894.757293168;
const bench: SimulatedBenchRequest = {
  scenario: 'typical',
  seed: 4,
  speed: 20,
  instrument: 'scale',
  tipFlowAt275790Pa_m3_per_s: 2.2e-5,
  fault: 'dial-high',
};
const short = aSetup({ settings_Pa: psi(20, 60), catchesPerSetting: 1 });
const rig = { rigName: ' Green  KNAPSACK ', standsOnScale: 'pail' } as const;
const zero: RigCheckRequest = { ...rig, kind: 'dial-at-zero', division_Pa: null };
const blank: RigCheckRequest = {
  ...rig,
  kind: 'blank-tip',
  pressure_Pa: 40 * PSI,
  settingStandardUncertainty_Pa: 1.5 * PSI,
  weakestRating_Pa: 100 * PSI,
  pumpHasBypass: true,
};

async function aBench(request: SimulatedBenchRequest | null = bench) {
  const store = memoryStore();
  const service = new BenchService(() => Promise.resolve({ store, storage: { ok: true, value: true } }));
  const views: BenchView[] = [];
  const said: string[] = [];
  await service.hello({
    view: (view) => void views.push(view),
    trace: () => undefined,
    announce: (announcement) => {
      if (announcement.kind === 'rig-check') said.push(announcement.prompt.kind);
    },
  });
  if (request !== null) expect(await service.openSimulated(request)).toMatchObject({ ok: true });
  await until(() => views.length > 0);
  return { service, store, said, view: () => views.at(-1)! };
}
type ABench = Awaited<ReturnType<typeof aBench>>;

async function until(condition: () => boolean, limit_s = 120): Promise<void> {
  for (let s = 0; s < limit_s * 20; s += 1) {
    if (condition()) return;
    await vi.advanceTimersByTimeAsync(50);
    await new Promise((resolve) => setImmediate(resolve));
  }
  throw new Error('never came');
}

async function swept({ service, view }: ABench, setup = short): Promise<string> {
  const started = await service.startSweep(setup);
  if (!started.ok) throw new Error(started.because);
  await until(() => view().sweep?.sweepId === started.value.sweepId && view().sweep?.phase === 'done');
  return started.value.sweepId;
}

/** A check to its end by the simulated person alone. */
async function checked({ service, view }: ABench, request: RigCheckRequest, sweepId: string | null) {
  expect(await service.startRigCheck(request, sweepId)).toEqual({ ok: true, value: true });
  await vi.advanceTimersByTimeAsync(250);
  const check = (): RigCheckView | null | undefined => view().rigCheck;
  await until(() => check()?.isOver === true);
  return check()!;
}

async function text({ service }: ABench, sweepId: string): Promise<string> {
  const capture = await service.exportCapture(sweepId);
  if (!capture.ok) throw new Error(capture.because);
  return capture.value.text;
}

async function rigChecksOf({ store }: ABench): Promise<readonly RigCheckRecord[]> {
  const kept = await store.recordsOfKinds(['rig-check']);
  if (!kept.ok) throw new Error(kept.because);
  return kept.value.records.filter((record) => record.kind === 'rig-check');
}

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'setInterval', 'clearTimeout', 'clearInterval', 'performance'] });
});

afterEach(() => {
  vi.clearAllTimers();
  vi.useRealTimers();
});

describe('a check of the rig after a sweep', () => {
  it('is kept, marked in that sweep and brought into the next ones of this rig', async () => {
    const one = await aBench();
    const sweepId = await swept(one);
    const check = await checked(one, zero, sweepId);
    expect(check).toMatchObject({ sweepId, failed: null, notKept: null, kind: 'dial-at-zero' });
    const [found] = check.found;
    if (found?.kind !== 'dial-at-zero') throw new Error('nothing found');
    // The fault is 3 to 6 psi.
    expect(found.shown_Pa / PSI).toBeGreaterThan(1);
    expect(found.shown_Pa / PSI).toBeLessThan(8);
    expect(one.said).toEqual(['release-pressure', 'read-dial', 'rig-check-done']);
    expect(one.view().rigFound).toEqual([{ rigName: rig.rigName, found }]);

    const marked = `\t!rig-check dial-at-zero ${String(found.shown_Pa)} ${String(found.standardUncertainty_Pa)}\n`;
    expect(await text(one, sweepId)).toContain(marked);
    const [record, ...more] = await rigChecksOf(one);
    expect(more).toEqual([]);
    expect(record).toMatchObject({ sweepId, simulated: true, rigName: rig.rigName, found });
    // The sweep's end was kept anew, with the mark in it.
    const records = await one.store.records(sweepId);
    const ends = records.ok ? records.value.filter((end) => end.kind === 'sweep-end') : [];
    expect(ends.at(-1)?.marks).toContain('!rig-check dial-at-zero');

    const next = await swept(one);
    expect(await text(one, next)).toMatch(/\n0(\.0*)?\t!rig-check dial-at-zero /);
    const other = await swept(one, { ...short, rig: { ...short.rig, name: 'another one' } });
    expect(await text(one, other)).not.toContain('!rig-check');
  });

  it('belongs to this simulated bench: another one knows nothing of it', async () => {
    const one = await aBench();
    await checked(one, zero, null);
    await one.service.dismissRigCheck();
    await one.service.openSimulated({ ...bench, seed: 5 });
    await vi.advanceTimersByTimeAsync(300);
    expect(one.view().rigFound).toBeUndefined();
    expect(await text(one, await swept(one))).not.toContain('!rig-check');
  });

  it('with a blank weighs the leak, and leaves the tip in its place for the next sweep', async () => {
    const one = await aBench({ ...bench, fault: 'leaking' });
    const check = await checked(one, blank, null);
    const [found] = check.found;
    if (found?.kind !== 'blank-tip') throw new Error('nothing found');
    // The fault is 4 to 10 % of the flow at 40 psi.
    const share = found.leak_m3_per_s / 2.2e-5;
    expect(share).toBeGreaterThan(0.035);
    expect(share).toBeLessThan(0.115);
    // Put away at once, the simulated person still takes the blank out.
    await one.service.dismissRigCheck();
    await vi.advanceTimersByTimeAsync(300);
    expect(one.view().rigCheck ?? null).toBeNull();
    const sweepId = await swept(one);
    const flows = one.view().sweep!.catches.map((caught) => caught.flow_m3_per_s ?? 0);
    expect(Math.min(...flows)).toBeGreaterThan(1.2e-5);
    expect(await text(one, sweepId)).toMatch(/!rig-check blank-tip \S+ \S+ at 275790/);
  });

  it('hears by itself where the flow stops', async () => {
    const one = await aBench({ ...bench, fault: 'check-valve' });
    const marks_Pa = psi(24, 20, 16, 12, 10, 8, 6, 4, 2);
    const check = await checked(
      one,
      { ...rig, kind: 'flow-stops-at', marks_Pa, settingStandardUncertainty_Pa: 1.5 * PSI },
      null,
    );
    const [found] = check.found;
    if (found?.kind !== 'flow-stops-at') throw new Error('nothing found');
    // The fault is 5 to 15 psi.
    expect(found.shown_Pa / PSI).toBeGreaterThan(2);
    expect(found.shown_Pa / PSI).toBeLessThan(19);
    expect(one.said.filter((kind) => kind === 'turn-while-spraying').length).toBeGreaterThan(1);
  });

  it('keeps what was found before the person stopped it', async () => {
    const one = await aBench();
    const wand: RigCheckRequest = {
      ...rig,
      kind: 'wand-gauge',
      settings_Pa: psi(20, 60),
      settingStandardUncertainty_Pa: 1e4,
      division_Pa: null,
    };
    expect(await one.service.startRigCheck(wand, null)).toMatchObject({ ok: true });
    expect(await one.service.answerRigCheck(null)).toMatchObject({ ok: true });
    expect(await one.service.answerRigCheck(19 * PSI)).toMatchObject({ ok: true });
    await one.service.stopRigCheck();
    await vi.advanceTimersByTimeAsync(200);
    expect((await rigChecksOf(one)).map(({ found }) => found.kind)).toEqual(['wand-gauge']);
    expect(await one.service.answerRigCheck(19 * PSI)).toMatchObject({ because: 'no-rig-check-running' });
    expect(one.view().rigFound).toHaveLength(1);
  });
});

describe('a check of the rig that is stopped', () => {
  it('with a blank says how to leave the rig safe, and stands until it is put away', async () => {
    const one = await aBench({ ...bench, fault: 'leaking' });
    expect(await one.service.startRigCheck(blank, null)).toMatchObject({ ok: true });
    await until(() => one.view().rigCheck?.prompt.kind === 'watch-drip');
    one.said.length = 0;
    await one.service.stopRigCheck();
    // A second tap on the same button must not put it away.
    await one.service.stopRigCheck();
    await vi.advanceTimersByTimeAsync(300);
    expect(one.said).toEqual(['rig-check-failed']);
    const shown = {
      isOver: true,
      asks: null,
      found: [],
      failed: { because: 'rig-check-stopped' },
      prompt: { kind: 'rig-check-failed', because: 'rig-check-stopped', leaves: 'blank' },
    };
    expect(one.view().rigCheck).toMatchObject(shown);
    await until(() => false, 5).catch(() => undefined);
    expect(one.view().rigCheck).toMatchObject(shown);
    await one.service.dismissRigCheck();
    await vi.advanceTimersByTimeAsync(300);
    expect(one.view().rigCheck ?? null).toBeNull();
    // The tip is back in its place.
    await swept(one);
    const flows = one.view().sweep!.catches.map((caught) => caught.flow_m3_per_s ?? 0);
    expect(Math.min(...flows)).toBeGreaterThan(1.2e-5);
  });

  it.each([
    [zero, 'open-trigger'],
    [
      {
        ...rig,
        kind: 'wand-gauge',
        settings_Pa: psi(40),
        settingStandardUncertainty_Pa: 1e4,
        division_Pa: null,
      },
      'gauge',
    ],
    [
      { ...rig, kind: 'flow-stops-at', marks_Pa: psi(20, 10), settingStandardUncertainty_Pa: 1e4 },
      'open-trigger',
    ],
  ] as const)('says it for %j too, also when only put away', async (request, leaves) => {
    const one = await aBench();
    expect(await one.service.startRigCheck(request, null)).toMatchObject({ ok: true });
    await one.service.dismissRigCheck();
    await vi.advanceTimersByTimeAsync(300);
    expect(one.view().rigCheck?.prompt).toEqual({
      kind: 'rig-check-failed',
      because: 'rig-check-stopped',
      leaves,
    });
    expect(one.said.at(-1)).toBe('rig-check-failed');
  });
});

describe('a check of the rig is refused', () => {
  it('above the rating, without a name, while something runs, for another sweep', async () => {
    const one = await aBench();
    const { service } = one;
    expect(await service.startRigCheck({ ...blank, pressure_Pa: 120 * PSI }, null)).toMatchObject({
      because: 'blank-above-rating',
    });
    expect(await service.startRigCheck({ ...zero, rigName: '  ' }, null)).toMatchObject({
      because: 'name-missing',
    });
    expect(await service.answerRigCheck(0)).toMatchObject({ because: 'no-rig-check-running' });
    expect(await service.startRigCheck(zero, null)).toMatchObject({ ok: true });
    expect(await service.startRigCheck(zero, null)).toMatchObject({ because: 'check-running' });
    expect(await service.startCheck({ kind: 'clock' }, null)).toMatchObject({ because: 'check-running' });
    expect(await service.startSweep(short)).toMatchObject({ because: 'check-running' });
    await service.dismissRigCheck();
    expect(await service.startSweep(short)).toMatchObject({ ok: true });
    expect(await service.startRigCheck(zero, null)).toMatchObject({ because: 'sweep-running' });
    await service.endSweep();
    expect(await service.startRigCheck(zero, 'no such sweep')).toMatchObject({ because: 'record-not-found' });
  });

  it('with a blank too near the rating for a dial that was found to show too little today', async () => {
    const one = await aBench();
    const { service } = one;
    const near = { ...blank, weakestRating_Pa: 48 * PSI };
    expect(await service.startRigCheck(near, null)).toMatchObject({ ok: true });
    await service.stopRigCheck();
    expect(await service.startRigCheck(zero, null)).toMatchObject({ ok: true });
    expect(await service.answerRigCheck(-4 * PSI)).toMatchObject({ ok: true });
    expect(await service.startRigCheck(near, null)).toMatchObject({ because: 'blank-above-rating' });
    expect(await service.startRigCheck({ ...near, rigName: 'another one' }, null)).toMatchObject({
      ok: true,
    });
  });

  it('without an instrument, unless eyes can read it', async () => {
    const one = await aBench(null);
    expect(await one.service.startRigCheck(blank, null)).toMatchObject({ because: 'instrument-not-open' });
    expect(await one.service.startRigCheck(zero, null)).toMatchObject({ ok: true });
    expect(one.said).toEqual(['read-dial']);
    expect(await one.service.answerRigCheck(200 * PSI)).toMatchObject({ because: 'dial-reading-absurd' });
    expect(await one.service.answerRigCheck(3 * PSI)).toMatchObject({ ok: true });
    await vi.advanceTimersByTimeAsync(200);
    const [record] = await rigChecksOf(one);
    expect(record).toMatchObject({ simulated: false, found: { kind: 'dial-at-zero', shown_Pa: 3 * PSI } });
    // Its own id: it belongs to no sweep.
    expect(record?.sweepId).toBe(record?.id);
    expect(await rigFoundToday(one.store, 'green knapsack', Date.now())).toEqual([record?.found]);
  });
});

describe('what was found of a rig today', () => {
  it('is of this rig, of today, not simulated, not replaced', async () => {
    const store = memoryStore();
    const found = { kind: 'dial-at-zero', shown_Pa: 1e4, standardUncertainty_Pa: 5e3 } as const;
    const now_ms = new Date(2026, 10, 26, 9).getTime();
    const a = (
      rigName: string,
      at_ms: number,
      simulated = false,
      replaces: string | null = null,
    ): RigCheckRecord => ({
      ...newEnvelope(null, simulated, replaces),
      recordedAt_ms: at_ms,
      kind: 'rig-check',
      rigName,
      found,
    });
    const wrong = a('Green knapsack', now_ms - 2000);
    const right = {
      ...a('green Knapsack', now_ms - 1000, false, wrong.id),
      found: { ...found, shown_Pa: 2e4 },
    };
    for (const record of [
      wrong,
      right,
      a('blue knapsack', now_ms - 1000),
      a('green knapsack', now_ms - 24 * 3600e3),
      a('green knapsack', now_ms - 1000, true),
    ])
      expect(await store.add(record)).toEqual({ ok: true, value: true });
    expect(await rigFoundToday(store, 'GREEN KNAPSACK', now_ms)).toEqual([right.found]);
  });
});
