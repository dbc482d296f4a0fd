import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { BenchStage } from '../../../../web/state/bench-stage.svelte.ts';
import { HandTiming } from '../../../../web/state/hand-timing.svelte.ts';
import { InstrumentForm } from '../../../../web/state/instrument-form.svelte.ts';
import { Preferences, PREFERENCES_KEY } from '../../../../web/state/preferences.svelte.ts';
import { placeOf } from '../../../../web/state/route.svelte.ts';
import { Trace } from '../../../../web/state/trace.svelte.ts';
import { shownUnits } from '../../../../web/wording/units.ts';
import { gpm, psi } from '../sample-sweep.ts';

const batch = (time_s: number[], restart = false) => ({
  restart,
  time_s: Float64Array.from(time_s),
  mass_kg: Float64Array.from(time_s),
});

test('the trace forgets what is older than its window and starts anew on a restart', () => {
  const trace = new Trace(10);
  trace.add(batch([0, 5, 9]));
  trace.add(batch([12, 16]));
  expect(trace.time_s).toEqual([9, 12, 16]);
  trace.add(batch([1, 2], true));
  expect(trace.time_s).toEqual([1, 2]);
  expect(trace.version).toBe(3);
});

test('times on the trace always ascend, whatever comes', () => {
  const trace = new Trace(100);
  trace.add(batch([0, 2, 1, 2, 3]));
  expect(trace.time_s).toEqual([0, 2, 3]);
});

test('the stopwatch takes the time of the presses, not of their handling', () => {
  const hand = new HandTiming();
  hand.press(1000);
  expect(hand.elapsed_s(3500)).toBe(2.5);
  hand.press(31_250);
  expect(hand.phase).toBe('reading');
  expect(hand.elapsed_s(99_999)).toBe(30.25);
  // A third press while the pail is read does nothing.
  hand.press(40_000);
  expect(hand.duration_s).toBe(30.25);
});

test('a catch by hand is kept, struck out and brought back to its place', () => {
  const hand = new HandTiming();
  for (const [index, end] of [10_000, 20_000].entries()) {
    hand.press(0);
    hand.press(end);
    hand.keep(psi(40), 0.001 * (index + 1), 1e-4);
  }
  hand.strike(0);
  expect(hand.catches.map(({ duration_s }) => duration_s)).toEqual([20]);
  hand.undoStrike();
  expect(hand.catches.map(({ duration_s }) => duration_s)).toEqual([10, 20]);
  expect(hand.removed).toBeNull();
});

test('a timing of no length is not kept', () => {
  const hand = new HandTiming();
  hand.press(5);
  hand.press(5);
  hand.keep(psi(40), 0.001, 1e-4);
  expect(hand.catches).toEqual([]);
});

test('preferences are kept and read again; what is not ours is passed over', () => {
  const map = new Map<string, string>();
  const store = {
    getItem: (key: string) => map.get(key) ?? null,
    setItem: (key: string, text: string) => void map.set(key, text),
  };
  new Preferences(store).change({ theme: 'sun', system: 'metric' });
  const again = new Preferences(store);
  expect([again.theme, again.system, again.tones]).toEqual(['sun', 'metric', true]);
  map.set(PREFERENCES_KEY, '{"theme":"pink","tones":"loud"}');
  expect(new Preferences(store).theme).toBe('day');
  map.set(PREFERENCES_KEY, 'not json');
  expect(new Preferences(store).theme).toBe('day');
});

test('a store that throws costs nothing but the memory of the choice', () => {
  const store = {
    getItem: () => {
      throw new Error('no');
    },
    setItem: () => {
      throw new Error('no');
    },
  };
  const preferences = new Preferences(store);
  preferences.change({ theme: 'night' });
  expect(preferences.theme).toBe('night');
});

test('the script before the first paint reads the same key', () => {
  expect(readFileSync('web/public/first-light.js', 'utf8')).toContain(`'${PREFERENCES_KEY}'`);
});

test('an unknown address is the Bench', () => {
  expect([placeOf('#/log'), placeOf('#/bench'), placeOf('#/elsewhere'), placeOf('')]).toEqual([
    'log',
    'bench',
    'bench',
    'bench',
  ]);
});

test('the speed of the line follows the kind of instrument', () => {
  const form = new InstrumentForm();
  expect(form.requestIn(shownUnits.us)).toMatchObject({ kind: 'scale', baudRate: 9600, bareUnit: null });
  form.chooseKind('bench-board');
  expect(form.requestIn(shownUnits.us)).toBeNull();
  form.gramsPerCount = '0,0042';
  expect(form.requestIn(shownUnits.us)).toMatchObject({
    baudRate: 115200,
    gramsPerCount: 0.0042,
    pulsesPerLitre: null,
  });
  form.pulsesPerLitre = '-450';
  expect(form.requestIn(shownUnits.us)).toBeNull();
});

test('another sweep finds everything filled in as before, the same invented tip on the bench, and another order', () => {
  let draw = 0;
  const stage = new BenchStage(() => (draw += 2 ** 28));
  stage.simulated('us');
  stage.form!.fields.tipName = 'Grey 8';
  stage.form!.fields.rigName = 'green knapsack';
  const first = stage.simulationRequest();
  const order = stage.form!.checked.setup!.orderSeed;
  stage.again('grey  8', false);
  expect(stage.step).toBe('setup');
  expect(stage.form!.fields).toMatchObject({ tipName: 'Grey 8', rigName: 'green knapsack' });
  expect(stage.form!.checked.setup!.orderSeed).not.toBe(order);
  const second = stage.simulationRequest();
  expect(second.tipFlowAt275790Pa_m3_per_s).toBe(first.tipFlowAt275790Pa_m3_per_s);
  expect(second.seed).not.toBe(first.seed);
  stage.form!.fields.tipName = 'grey 9';
  expect(stage.simulationRequest().tipFlowAt275790Pa_m3_per_s).not.toBe(first.tipFlowAt275790Pa_m3_per_s);
  // A sweep that was not typed here, or an instrument that is gone: the first choice.
  stage.again('brown 5', false);
  expect(stage.step).toBe('choice');
  stage.instrumentOpen('us');
  stage.form!.fields.tipName = 'grey 9';
  stage.again('grey 9', false);
  expect(stage.step).toBe('choice');
  stage.instrumentOpen('us');
  stage.again('grey 9', true);
  expect(stage.step).toBe('setup');
});

test('the invented tip hides within a few percent of its stamp', () => {
  for (const draw of [0, 2 ** 31, 2 ** 32 - 1]) {
    const stage = new BenchStage(() => draw);
    stage.simulated('us');
    const request = stage.simulationRequest();
    // The stamp says 0.4 gal/min at 40 psi, which is 275 790 Pa.
    const ratio = request.tipFlowAt275790Pa_m3_per_s! / gpm(0.4);
    expect(ratio).toBeGreaterThan(0.96);
    expect(ratio).toBeLessThan(1.16);
    expect(request.speed).toBe(20);
  }
});
