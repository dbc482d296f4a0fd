import { expect, test } from 'vitest';
import { checkSetup } from '../../../../web/state/setup-check.ts';
import { blankFields, demoFields, type SetupFields } from '../../../../web/state/setup-fields.ts';
import { KEPT_SETUP_KEY, KeptSetup } from '../../../../web/state/kept-setup.ts';
import { SetupForm } from '../../../../web/state/setup-form.svelte.ts';
import { shownUnits } from '../../../../web/wording/units.ts';
import { gpm, psi } from '../sample-sweep.ts';

const named = { tipName: 'Tip 7', rigName: 'green knapsack' };
const check = (more: Partial<SetupFields>, byHand = false) =>
  checkSetup({ ...blankFields('us'), ...named, ...more }, shownUnits.us, 7, byHand);

test('the starting figures with two names make a whole set-up, in SI', () => {
  const { setup, errors } = check({});
  expect(errors).toEqual({});
  expect(setup?.settings_Pa).toEqual([20, 30, 40, 50, 60].map(psi));
  expect(setup?.rig.settingStandardUncertainty_Pa).toBeCloseTo(psi(1.5), 6);
  expect(setup).toMatchObject({ catchesPerSetting: 3, order: 'random', orderSeed: 7, targetRelative: 0.005 });
  expect(setup?.tip).toEqual({ name: 'Tip 7', ratedFlow_m3_per_s: null, ratedPressure_Pa: null });
});

test('the invented data of the simulated bench are whole in both systems', () => {
  for (const system of ['us', 'metric'] as const)
    expect(checkSetup(demoFields(system), shownUnits[system], 1).errors).toEqual({});
});

test.each<[Partial<SetupFields>, keyof SetupFields, RegExp]>([
  [{ settings: '20 -30 40' }, 'settings', /above zero/],
  [{ settings: '20 0' }, 'settings', /above zero/],
  [{ settings: '20 4000' }, 'settings', /no small sprayer/],
  [{ settings: '20 30 20' }, 'settings', /twice/],
  [{ settings: '' }, 'settings', /at least one/],
  [{ settings: '20 thirty' }, 'settings', /“thirty” is not a number/],
  [{ settings: '1 2 3 4 5 6 7 8 9 10 11 12 13' }, 'settings', /At most 12/],
  [{ tipName: '  ' }, 'tipName', /name/],
  [{ ratedFlow: '0.4' }, 'ratedPressure', /belong together/],
  [{ ratedPressure: '40' }, 'ratedFlow', /belong together/],
  [{ ratedFlow: '-1', ratedPressure: '40' }, 'ratedFlow', /above zero/],
  [{ ratedFlow: '400', ratedPressure: '40' }, 'ratedFlow', /no small sprayer/],
  [{ scaleLimit: '0' }, 'scaleLimit', /from/],
  [{ scaleLimit: '' }, 'scaleLimit', /Fill/],
  [{ pail: 'big' }, 'pail', /not a number/],
  [{ catches: '2,5' }, 'catches', /whole number/],
  [{ catches: '-1' }, 'catches', /whole number/],
  [{ target: '50' }, 'target', /from 0\.1 % to 10 %/],
  [{ water: '500' }, 'water', /°F/],
  [{ dialPlusMinus: '-3' }, 'dialPlusMinus', /from/],
  // Arithmetic: 3 gal/min is 0.18927 kg/s; (8 + 2.4) s of it are 1.968 kg, over 0.9 are 2.187 kg or 4.82 lb.
  [
    { ratedFlow: '3', ratedPressure: '60', scaleLimit: '4.7' },
    'scaleLimit',
    /8 seconds at 60 psi need 4\.9 lb/,
  ],
  // 3 gal/min for 8 s are 0.4 gal, over 0.9 are 0.444 gal.
  [{ ratedFlow: '3', ratedPressure: '60', pail: '0.4' }, 'pail', /8 seconds at 60 psi need 0\.45 gal/],
])('%j is not taken, and the sentence stands by %s', (more, field, sentence) => {
  const { setup, errors } = check(more);
  expect(setup).toBeNull();
  expect(errors[field]).toMatch(sentence);
});

test('a decimal comma is as good as a point', () => {
  expect(check({ ratedFlow: '0,4', ratedPressure: '40' }).setup?.tip.ratedFlow_m3_per_s).toBeCloseTo(
    gpm(0.4),
    12,
  );
});

test('by hand the marks of the pail are asked for and the scale is not', () => {
  const checked = check({ scaleLimit: 'none', target: 'x', catches: '' }, true);
  expect(checked.errors).toEqual({});
  expect(checked.markSpacing_m3).toBeCloseTo(shownUnits.us.volume.toSI(4), 12);
  expect(check({ markSpacing: '0' }, true).setup).toBeNull();
});

test('the target follows the wand until the person chose one', () => {
  const form = new SetupForm('instrument', 'us', 1);
  form.setWand('hand-held');
  expect(form.fields.target).toBe('1');
  form.setTarget('0,8');
  form.setWand('guided');
  expect(form.fields.target).toBe('0,8');
});

test('a change of units turns every figure over, typed or filled in, the rated pair together', () => {
  const form = new SetupForm('simulated', 'us', 1);
  form.fields.water = 'warm';
  const before = form.checked.errors;
  form.changeUnits('metric');
  // 1 psi is 0.0689476 bar and 1 gal 3.785412 L (arithmetic on exact definitions).
  expect(form.fields).toMatchObject({
    ratedFlow: '1.514',
    ratedPressure: '2.758',
    settings: '1.379 2.068 2.758 3.447 4.137',
    pail: '18.93',
    scaleLimit: '18.14',
    // What can't be read stays as typed.
    water: 'warm',
  });
  expect(Object.keys(form.checked.errors)).toEqual(Object.keys(before));
});

test('turned back, what was typed stands there again, and a figure changed meanwhile is turned over', () => {
  const form = new SetupForm('instrument', 'us', 1);
  form.fields.ratedFlow = '0.37';
  const { fields } = form.typed;
  form.changeUnits('metric');
  form.fields.pail = '10';
  form.changeUnits('us');
  expect(form.fields).toEqual({ ...fields, pail: '2.642' });
});

test('a set-up typed once is there again after a reload, in whatever units, without yesterday’s water', () => {
  const map = new Map<string, string>();
  const store = {
    getItem: (key: string) => map.get(key) ?? null,
    setItem: (key: string, text: string) => void map.set(key, text),
  };
  expect(new KeptSetup(store).latest).toBeNull();
  const form = new SetupForm('instrument', 'us', 1);
  Object.assign(form.fields, { ...named, settings: '25 45', water: '61', wand: 'hand-held', target: '1' });
  new KeptSetup(store).keep(form.typed);
  const again = new SetupForm('by-hand', 'us', 2, new KeptSetup(store).latest);
  expect(again.fields).toEqual({ ...form.fields, water: '' });
  const metric = new SetupForm('instrument', 'metric', 2, new KeptSetup(store).latest);
  expect(metric.fields).toMatchObject({ ...named, settings: '1.724 3.103', wand: 'hand-held' });
});

test.each([
  'not json',
  'null',
  '[]',
  '{"system":"us","fields":{"tipName":"x"}}',
  '{"system":"us","fields":7}',
])('a kept set-up that is not whole (%s) is passed over', (text) => {
  expect(new KeptSetup({ getItem: () => text, setItem: () => undefined }).latest).toBeNull();
});

test('a kept choice that is none of ours is passed over, and a store that throws costs nothing', () => {
  const fields = { ...blankFields('us'), wand: 'robot' };
  const store = { getItem: () => JSON.stringify({ system: 'us', fields }), setItem: () => undefined };
  expect(new KeptSetup(store).latest).toBeNull();
  const broken = {
    getItem: () => {
      throw new Error('no');
    },
    setItem: () => {
      throw new Error('no');
    },
  };
  const kept = new KeptSetup(broken);
  kept.keep({ system: 'us', fields: blankFields('us') });
  expect(kept.latest?.fields.settings).toBe('20 30 40 50 60');
  expect(KEPT_SETUP_KEY).toMatch(/^catchbench\./);
});

test('one pour and the sensor are in the set-up as chosen, by hand there is neither; one pour is one go by itself', () => {
  const form = new SetupForm('instrument', 'us', 1);
  Object.assign(form.fields, named);
  form.setProtocol('one-pour');
  form.fields.settingsFrom = 'sensor';
  expect(form.checked.setup).toMatchObject({
    protocol: 'one-pour',
    settingsFrom: 'sensor',
    catchesPerSetting: 1,
  });
  form.fields.catches = '2';
  form.setProtocol('each-catch');
  expect(form.fields.catches).toBe('2');
  expect(check({ protocol: 'one-pour', settingsFrom: 'sensor' }, true).setup).toMatchObject({
    protocol: 'each-catch',
    settingsFrom: 'prompts',
  });
});

test('settings too close to tell apart are refused where the flow or a sensor has to tell them, with what to do', () => {
  for (const more of [{ protocol: 'one-pour' }, { settingsFrom: 'sensor' }] as const) {
    const { setup, errors } = check({ ...more, settings: '20 42 40' });
    expect(setup).toBeNull();
    expect(errors.settings).toBe(
      '40 and 42 psi are too close to tell apart like this. Leave one out, or shut off between catches.',
    );
  }
  expect(check({ settings: '20 42 40' }).errors).toEqual({});
});

test('a set-up kept before one pour could be chosen is still whole', () => {
  const { protocol, settingsFrom, ...older } = blankFields('us');
  const text = JSON.stringify({ system: 'us', fields: { ...older, ...named } });
  const kept = new KeptSetup({ getItem: () => text, setItem: () => undefined }).latest;
  expect(kept?.fields).toMatchObject({ ...named, protocol, settingsFrom });
});
