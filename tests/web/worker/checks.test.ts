import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { BenchView, CheckRequest, CheckView, SimulatedBenchRequest } from '../../../web/contract.ts';
import { POUND_KG } from '../../../src/base/units/constants.ts';
import { BenchService } from '../../../web/worker/bench-service.ts';
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
  toBeChecked: true,
};
const short = aSetup({ settings_Pa: psi(20, 60), catchesPerSetting: 1 });
const known = (mass_kg: number): CheckRequest => ({
  kind: 'scale',
  limit_kg: 30,
  references: [{ kind: 'mass-pieces', mass_kg, standardUncertainty_kg: 5e-5 * mass_kg }],
});

async function aBench(request = bench) {
  const store = memoryStore();
  const service = new BenchService(() => Promise.resolve({ store, storage: { ok: true, value: true } }));
  const views: BenchView[] = [];
  const said: string[] = [];
  await service.hello({
    view: (view) => void views.push(view),
    trace: () => undefined,
    announce: (announcement) => void said.push(announcement.kind),
  });
  expect(await service.openSimulated(request)).toMatchObject({ ok: true });
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

/** A check to its end, hands-free. */
async function checked({ service, view }: ABench, request: CheckRequest, sweepId: string | null = null) {
  expect(await service.startCheck(request, sweepId)).toEqual({ ok: true, value: true });
  // The view of an earlier check may still stand there.
  await vi.advanceTimersByTimeAsync(250);
  const check = (): CheckView | null | undefined => view().check;
  await until(() => check()?.result != null || check()?.failed != null);
  return check()!;
}

async function swept({ service, view }: ABench, setup = short): Promise<string> {
  const started = await service.startSweep(setup);
  if (!started.ok) throw new Error(started.because);
  await until(() => view().sweep?.phase === 'done');
  return started.value.sweepId;
}

async function kept({ store }: ABench, sweepId: string) {
  const records = await store.records(sweepId);
  if (!records.ok) throw new Error(records.because);
  return records.value;
}

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'setInterval', 'clearTimeout', 'clearInterval'] });
});

afterEach(() => {
  vi.useRealTimers();
});

describe('a check before the sweep', () => {
  it('finds the simulated scale wrong, corrects it where the person says so, and the sweep is right', async () => {
    const one = await aBench();
    const check = await checked(one, known(10));
    if (check.result?.kind !== 'scale') throw new Error('no result');
    expect(check.result.verdict).toBe('off');
    expect(check.decisions).toEqual(['correct', 'leave', 'refuse']);
    expect(await one.service.decideCheck('correct')).toEqual({ ok: true, value: true });
    expect(one.said).toContain('check');
    const setup = aSetup({ settings_Pa: psi(20, 60), catchesPerSetting: 1 });
    const sweepId = await swept(one, setup);
    const sweep = one.view().sweep!;
    expect(sweep.warnings).not.toContain('scale-not-checked');
    const capture = await one.service.exportCapture(sweepId);
    expect(capture.ok && capture.value.text).toContain(`# scaleFactor: ${check.result.factor}`);
    const opened = await one.service.openSweep(sweepId);
    expect(opened.ok && opened.value.picture).toEqual(sweep.picture);
    // Water at 18 °C (998.595 kg/m³, the tables) in air (1.00105, arithmetic): what is left is the factor.
    const [caught] = sweep.catches;
    const applied = (caught!.flow_m3_per_s! / caught!.massFlow_kg_per_s!) * (998.595 / 1.00105);
    expect(applied).toBeCloseTo(check.result.factor, 4);
  });

  it('left as it is changes no flow and carries the doubt; refused, nothing is measured with it', async () => {
    const left = await aBench();
    await checked(left, known(10));
    await left.service.decideCheck('leave');
    const sweepId = await swept(left);
    const capture = await left.service.exportCapture(sweepId);
    const text = capture.ok ? capture.value.text : '';
    expect(text).not.toMatch(/# scaleFactor:/);
    expect(text).toMatch(/# scaleFactorFound: (0\.99|1\.00)[1-9]/);
    expect(left.view().sweep!.warnings).not.toContain('scale-not-checked');

    const never = await aBench();
    await checked(never, known(10));
    await never.service.decideCheck('refuse');
    expect(await never.service.startSweep(short)).toMatchObject({ ok: false, because: 'scale-refused' });
  });

  it('is kept as a record of its own, undecided or decided, and is no line of the list', async () => {
    const one = await aBench();
    await checked(one, known(10));
    await one.service.decideCheck('correct');
    expect(await one.service.listSweeps()).toEqual({ ok: true, value: [] });
  });

  it('of a clock, a pressure sensor and a meter go into the next header of a bench board', async () => {
    const one = await aBench({ ...bench, scenario: 'typical80', instrument: 'bench-board' });
    const clock = await checked(one, { kind: 'clock' });
    expect(clock.result?.kind).toBe('clock');
    const pressure = await checked(one, {
      kind: 'pressure',
      known_Pa: 400_000,
      knownStandardUncertainty_Pa: 2_000,
    });
    expect(pressure.result?.kind).toBe('pressure');
    const first = await swept(one, aSetup({ settings_Pa: psi(15, 60), catchesPerSetting: 2 }));
    const text = await one.service.exportCapture(first);
    expect(text.ok && text.value.text).not.toContain('meterOffset_Hz');
    expect(await one.service.startCheck({ kind: 'meter', oneFlowWillDo: false }, first)).toEqual({
      ok: true,
      value: true,
    });
    await until(() => one.view().check?.result?.kind === 'meter');
    const { result } = one.view().check!;
    if (result?.kind !== 'meter') throw new Error('no meter');
    // Hidden in the simulated meter: 450 pulses a litre and 1 Hz (against the water that the scale, off by its gain, shows).
    expect(Math.abs(result.offset_Hz! - 1)).toBeLessThan(3 * result.offsetStandardUncertainty_Hz! + 0.02);
    expect(Math.abs(result.pulsesPerCubicMetre / 450_000 - 1)).toBeLessThan(0.015);
    const second = await swept(one);
    const header = await one.service.exportCapture(second);
    for (const key of ['clockRatio', 'pressureZero_Pa', 'meterOffset_Hz', 'meterLowestFlow_m3_per_s'])
      expect(header.ok && header.value.text).toContain(`# ${key}: `);
  });
});

describe('a check after the sweep', () => {
  it('marks the finished sweep, computes it anew on screen and in the kept text, and keeps its record with it', async () => {
    const one = await aBench();
    const sweepId = await swept(one);
    const before = one.view().sweep!;
    expect(before.warnings).toContain('scale-not-checked');
    const check = await checked(one, known(10), sweepId);
    expect(check.decisions).toEqual(['correct', 'leave']);
    await one.service.decideCheck('correct');
    await until(() => !one.view().sweep!.warnings.includes('scale-not-checked'));
    const after = one.view().sweep!;
    if (check.result?.kind !== 'scale') throw new Error('no result');
    expect(after.catches[0]!.flow_m3_per_s! / before.catches[0]!.flow_m3_per_s!).toBeCloseTo(
      check.result.factor,
      9,
    );
    const opened = await one.service.openSweep(sweepId);
    expect(opened.ok && opened.value.picture).toEqual(after.picture);
    const text = await one.service.exportCapture(sweepId);
    expect(text.ok && text.value.text).toMatch(/\t!scale-check [\d.]+ [\d.e-]+ corrects\n/);
    const records = await kept(one, sweepId);
    expect(records.filter((record) => record.kind === 'instrument-check').length).toBeGreaterThan(0);
    const ends = records.filter((record) => record.kind === 'sweep-end');
    expect(ends.at(-1)?.shown.curve).toEqual(after.picture!.curve);
    // The day its lines are let go of the correction is still there.
    await one.store.pruneRaw(0);
    const packed = await one.service.openSweep(sweepId);
    if (!packed.ok) throw new Error(packed.because);
    expect(packed.value.analysis.warnings).not.toContain('scale-not-checked');
    packed.value.analysis.catches.forEach((thisCatch, i) => {
      expect(thisCatch.flow_m3_per_s! / after.catches[i]!.flow_m3_per_s!).toBeCloseTo(1, 4);
    });
  });

  it('tells the drift since the check before, asks nothing, and carries it', async () => {
    const one = await aBench();
    await checked(one, known(10));
    await one.service.decideCheck('correct');
    const sweepId = await swept(one);
    const check = await checked(one, known(10), sweepId);
    expect(check.result?.kind === 'scale' && check.result.drift?.moved).toBe(false);
    expect(check.decisions).toEqual([]);
    const text = await one.service.exportCapture(sweepId);
    expect(text.ok && text.value.text.match(/!scale-check/g)).toHaveLength(1);
  });

  it('that fails loses no catch: a check stopped, one refused and one disturbed leave the sweep as it was', async () => {
    const one = await aBench();
    const sweepId = await swept(one);
    const before = one.view().sweep!;
    expect(await one.service.startCheck(known(500 * POUND_KG), sweepId)).toMatchObject({
      ok: false,
      because: 'check-mass-too-big',
    });
    await one.service.startCheck(known(10), sweepId);
    await until(() => one.view().check?.prompt.kind === 'put-on');
    await one.service.dismissCheck();
    const coarse = await checked(one, known(0.06), sweepId);
    expect(coarse.failed).toMatchObject({ because: 'check-mass-too-small' });
    await one.service.dismissCheck();
    const after = await one.service.openSweep(sweepId);
    expect(after.ok && after.value.picture).toEqual(before.picture);
    expect(one.view().sweep!.catches).toEqual(before.catches);
    // And a check that passes afterwards computes it anew.
    await checked(one, known(10), sweepId);
    await one.service.decideCheck('correct');
    await until(() => !one.view().sweep!.warnings.includes('scale-not-checked'));
    expect(one.view().sweep!.catches).toHaveLength(before.catches.length);
  });
});

describe('a check that can not be', () => {
  it('is refused with the reason as a value', async () => {
    const one = await aBench();
    expect(await one.service.startCheck({ kind: 'clock' }, null)).toMatchObject({
      because: 'device-has-no-clock',
    });
    const pressure = { kind: 'pressure', known_Pa: 4e5, knownStandardUncertainty_Pa: 1e3 } as const;
    expect(await one.service.startCheck(pressure, null)).toMatchObject({ because: 'no-sensor' });
    expect(await one.service.startCheck({ kind: 'meter', oneFlowWillDo: false }, null)).toMatchObject({
      because: 'meter-needs-both',
    });
    expect(await one.service.decideCheck('correct')).toMatchObject({ because: 'nothing-to-decide' });
    expect(await one.service.startCheck(known(10), null)).toMatchObject({ ok: true });
    expect(await one.service.startCheck(known(10), null)).toMatchObject({ because: 'check-running' });
    expect(await one.service.startSweep(short)).toMatchObject({ because: 'check-running' });
    await one.service.closeInstrument();
    expect(await one.service.startCheck(known(10), null)).toMatchObject({ because: 'instrument-not-open' });
  });

  it('of the meter with one flow is refused, and gives one factor with a warning where that will do', async () => {
    const one = await aBench({ ...bench, scenario: 'typical80', instrument: 'bench-board' });
    const sweepId = await swept(one, aSetup({ settings_Pa: psi(40), catchesPerSetting: 2 }));
    expect(await one.service.startCheck({ kind: 'meter', oneFlowWillDo: false }, sweepId)).toMatchObject({
      because: 'meter-one-flow',
    });
    expect(await one.service.startCheck({ kind: 'meter', oneFlowWillDo: true }, sweepId)).toMatchObject({
      ok: true,
    });
    await until(() => one.view().check?.result?.kind === 'meter');
    expect(one.view().check?.result).toMatchObject({ offset_Hz: null, warnings: ['meter-one-flow'] });
  });

  it('that runs keeps a kept sweep from being taken up beside it', async () => {
    const one = await aBench();
    const started = await one.service.startSweep(short);
    if (!started.ok) throw new Error(started.because);
    await until(() => one.view().sweep?.catches.length === 1);
    const other = new BenchService(() =>
      Promise.resolve({ store: one.store, storage: { ok: true, value: true } }),
    );
    await other.openSimulated(bench);
    expect(await other.startCheck(known(10), null)).toMatchObject({ ok: true });
    expect(await other.resumeSweep(started.value.sweepId)).toMatchObject({ because: 'check-running' });
  });

  it('that corrected a simulated scale holds for the bench on which its sweep is taken up: the scale is as wrong as it was', async () => {
    const one = await aBench();
    await checked(one, known(10));
    await one.service.decideCheck('correct');
    const started = await one.service.startSweep(short);
    if (!started.ok) throw new Error(started.because);
    await until(() => one.view().sweep?.catches.length === 1);
    vi.clearAllTimers();
    const service = new BenchService(() =>
      Promise.resolve({ store: one.store, storage: { ok: true, value: true } }),
    );
    const views: BenchView[] = [];
    await service.hello({
      view: (view) => void views.push(view),
      trace: () => undefined,
      announce: () => undefined,
    });
    expect(await service.resumeSweep(started.value.sweepId)).toMatchObject({ ok: true });
    await until(() => views.at(-1)?.sweep?.phase === 'done');
    const text = await service.exportCapture(started.value.sweepId);
    const found = Number(/# scaleFactor: ([\d.]+)/.exec(text.ok ? text.value.text : '')?.[1]);
    expect(Math.abs(found - 1)).toBeGreaterThan(0.001);
    // The same check once more on the reopened bench finds the same error.
    const view = { ...one, service, view: () => views.at(-1)! };
    const again = await checked(view, known(10), started.value.sweepId);
    if (again.result?.kind !== 'scale') throw new Error('no scale');
    expect(again.result.factor).toBeCloseTo(found, 3);
  });
});
