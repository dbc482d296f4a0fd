import { expect, test, vi } from 'vitest';
import { Bench, type Announcer } from '../../../../web/state/bench.svelte.ts';
import { shownUnits } from '../../../../web/wording/units.ts';
import { FakeBench, readingScale } from '../fake-bench.ts';
import { sampleSetup, sampleSweep } from '../sample-sweep.ts';

function setUp() {
  const fake = new FakeBench();
  const told: { kind: string; spoken: string; voiceToo: boolean }[] = [];
  const arm = vi.fn();
  const announcer: Announcer = {
    arm,
    tell: (kind, spoken, voiceToo) => told.push({ kind, spoken, voiceToo }),
  };
  const clock = { now_ms: 0 };
  const bench = new Bench({
    connect: fake.connect,
    announcer,
    units: () => shownUnits.us,
    now_ms: () => clock.now_ms,
  });
  return { fake, bench, arm, told, clock };
}

const request = {
  scenario: 'typical',
  seed: 1,
  speed: 20,
  instrument: 'scale',
  tipFlowAt275790Pa_m3_per_s: null,
} as const;

test('Go on the simulated bench arms the sound, opens the bench and starts the sweep', async () => {
  const { fake, bench, arm } = setUp();
  expect(await bench.goSimulated(request, sampleSetup)).toBe(true);
  expect(arm).toHaveBeenCalledOnce();
  expect(fake.names()).toEqual(['openSimulated', 'startSweep']);
});

test('a bench that does not open starts no sweep, and the reason is kept as a value', async () => {
  const { fake, bench } = setUp();
  fake.answers.openSimulated = { ok: false, because: 'sweep-running' };
  expect(await bench.goSimulated(request, sampleSetup)).toBe(false);
  expect(fake.names()).toEqual(['openSimulated']);
  expect(bench.refusal).toMatchObject({ because: 'sweep-running' });
  expect(bench.busy).toBe(false);
});

test('a worker that never came up is a refusal, not a throw', async () => {
  const bench = new Bench({
    connect: () => Promise.reject(new Error('no')),
    announcer: { arm: () => undefined, tell: () => undefined },
    units: () => shownUnits.us,
    now_ms: () => 0,
  });
  expect(await bench.listSweeps()).toBeNull();
  expect(bench.refusal?.because).toBe('worker-stopped');
});

test('a worker that crashes later says so without being asked', async () => {
  const { fake, bench } = setUp();
  await bench.listSweeps();
  fake.crash('gone');
  await vi.waitFor(() => expect(bench.refusal?.because).toBe('worker-stopped'));
});

test('the one button pauses a running sweep and goes on with a paused one', async () => {
  const { fake, bench } = setUp();
  await bench.nextThing();
  fake.show({ instrument: readingScale, sweep: sampleSweep() });
  await bench.nextThing();
  fake.show({ instrument: readingScale, sweep: sampleSweep({ phase: 'paused' }) });
  await bench.nextThing();
  fake.show({ instrument: readingScale, sweep: sampleSweep({ phase: 'done' }) });
  await bench.nextThing();
  expect(fake.names()).toEqual(['pause', 'goOn']);
});

test('every announcement is told, captioned and put in the live region; at 20x without the voice', () => {
  const { fake, bench, told } = setUp();
  fake.show({ instrument: readingScale, sweep: sampleSweep() });
  fake.sink?.announce({ kind: 'enough', because: 'enough' }, 1);
  expect(bench.live.text).toBe('Enough. Shut off.');
  fake.show({ instrument: { ...readingScale, speed: 1 }, sweep: sampleSweep() });
  fake.sink?.announce({ kind: 'start-heard' }, 2);
  expect(told.map(({ kind, voiceToo }) => [kind, voiceToo])).toEqual([
    ['enough', false],
    ['start-heard', true],
  ]);
});

test('the reason of a void catch stands until water is heard again', () => {
  const { fake, bench } = setUp();
  fake.sink?.announce({ kind: 'void', because: 'lifted-while-filling' }, 1);
  fake.sink?.announce({ kind: 'set-and-spray', setting_Pa: 2e5, turnAwayFirst: true, sameAgain: true }, 1);
  expect(bench.notice?.kind).toBe('void');
  fake.sink?.announce({ kind: 'start-heard' }, 9);
  expect(bench.notice).toBeNull();
});

test('the live region has the number at most every ten seconds', () => {
  const { fake, bench, clock } = setUp();
  clock.now_ms = 100_000;
  fake.sink?.announce({ kind: 'start-heard' }, 0);
  const view = { instrument: readingScale, sweep: sampleSweep() };
  clock.now_ms += 9_999;
  fake.show(view);
  expect(bench.live.text).toBe('Water heard. Keep spraying.');
  clock.now_ms += 1;
  fake.show(view);
  expect(bench.live.text).toBe('0.340 gal/min so far, give or take 0.003');
});

test('a sweep that was left behind is not shown again, the next one is, and the simulated bench is put away', async () => {
  const { fake, bench } = setUp();
  fake.show({ instrument: readingScale, sweep: sampleSweep({ phase: 'done' }) });
  await bench.leave();
  fake.show({ instrument: readingScale, sweep: sampleSweep({ phase: 'done' }) });
  expect(bench.sweep).toBeNull();
  expect(fake.names()).toEqual(['closeInstrument']);
  fake.show({ instrument: readingScale, sweep: sampleSweep({ sweepId: 'sweep-2' }) });
  expect(bench.sweep?.sweepId).toBe('sweep-2');
});

test('a kept simulated sweep opens a bench before it goes on, unless one is open', async () => {
  const { fake, bench } = setUp();
  await bench.resume('sweep-1', request);
  fake.show({ instrument: readingScale, sweep: null });
  await bench.resume('sweep-1', request);
  expect(fake.names()).toEqual(['openSimulated', 'resumeSweep', 'resumeSweep']);
});

test('a chosen file is handed to the worker as it is, unread', async () => {
  const { fake, bench } = setUp();
  const file = new Blob(['hello']);
  expect(await bench.analyseFile('a', file)).toBeNull();
  expect(bench.refusal?.because).toBe('not-a-capture');
  expect(fake.names()).toEqual(['analyseFile']);
});
