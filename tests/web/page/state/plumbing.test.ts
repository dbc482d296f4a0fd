import { expect, test } from 'vitest';
import { KEPT_SETUP_KEY, KeptSetup } from '../../../../web/state/kept-setup.ts';
import { checkSetup } from '../../../../web/state/setup-check.ts';
import { blankFields, type SetupFields } from '../../../../web/state/setup-fields.ts';
import { SetupForm } from '../../../../web/state/setup-form.svelte.ts';
import { shownUnits } from '../../../../web/wording/units.ts';
import { psi } from '../sample-sweep.ts';

const named = { tipName: 'Tip 7', rigName: 'green knapsack' };
const check = (more: Partial<SetupFields>) =>
  checkSetup({ ...blankFields('us'), ...named, ...more }, shownUnits.us, 7);

test('nobody has to know what lies between gauge and tip', () => {
  expect(check({}).setup?.rig.plumbing).toBeNull();
});

test('what is told of it is kept in SI, the rest stays untold', () => {
  const { setup } = check({ gaugeAt: 'pump', hoseLength: '300', hoseBore: '0,5', weakestRating: '150' });
  expect(setup?.rig.plumbing).toEqual({
    gaugeAt: 'pump',
    hoseLength_m: expect.closeTo(91.44, 9) as number,
    hoseBore_m: expect.closeTo(0.0127, 9) as number,
    tipAboveGauge_m: null,
    weakestRating_Pa: expect.closeTo(psi(150), 3) as number,
  });
  expect(check({ tipHeight: '-6' }).setup?.rig.plumbing?.tipAboveGauge_m).toBeCloseTo(-1.8288, 9);
});

test.each<[Partial<SetupFields>, keyof SetupFields, RegExp]>([
  [{ hoseLength: 'long' }, 'hoseLength', /not a number/],
  [{ hoseLength: '-3' }, 'hoseLength', /from 0 ft/],
  [{ hoseBore: '13' }, 'hoseBore', /in/],
  [{ tipHeight: '4000' }, 'tipHeight', /ft/],
  [{ weakestRating: '0' }, 'weakestRating', /psi/],
])('%j is not taken, and the sentence stands by %s', (more, field, sentence) => {
  const { setup, errors } = check(more);
  expect(setup).toBeNull();
  expect(errors[field]).toMatch(sentence);
});

test('a change of units turns hose and rating over', () => {
  const form = new SetupForm('instrument', 'us', 1);
  Object.assign(form.fields, { hoseLength: '100', hoseBore: '0.5', weakestRating: '150' });
  form.changeUnits('metric');
  expect(form.fields).toMatchObject({ hoseLength: '30.48', hoseBore: '12.7' });
  expect(Number(form.fields.weakestRating)).toBeCloseTo(10.34, 2);
});

test('a set-up kept before these fields is whole without them, and they are kept with it', () => {
  const before = Object.fromEntries(
    Object.entries({ ...blankFields('us'), ...named }).filter(
      ([name]) => !['gaugeAt', 'hoseLength', 'hoseBore', 'tipHeight', 'weakestRating'].includes(name),
    ),
  );
  const held = new Map([[KEPT_SETUP_KEY, JSON.stringify({ system: 'us', fields: before })]]);
  const store = {
    getItem: (key: string) => held.get(key) ?? null,
    setItem: (key: string, text: string) => void held.set(key, text),
  };
  const kept = new KeptSetup(store);
  expect(kept.latest?.fields).toMatchObject({ ...named, gaugeAt: 'not-told', hoseLength: '' });
  kept.keep({ system: 'us', fields: { ...blankFields('us'), ...named, hoseLength: '300', gaugeAt: 'wand' } });
  expect(new KeptSetup(store).latest?.fields).toMatchObject({ hoseLength: '300', gaugeAt: 'wand' });
});

test('a setting above the rating of the weakest part is refused with both pressures, by hand too', () => {
  const over = { settings: '20 40 60', weakestRating: '50' };
  expect(check(over).setup).toBeNull();
  expect(check(over).errors.settings).toMatch(/60 psi is above .*50 psi/);
  const hand = checkSetup({ ...blankFields('us'), ...named, ...over }, shownUnits.us, 7, true);
  expect(hand.errors.settings).toMatch(/60 psi/);
  expect(check({ settings: '20 40 50', weakestRating: '50' }).setup).not.toBeNull();
});

test('a rating equal to the highest setting stays equal in other units', () => {
  const form = new SetupForm('instrument', 'us', 1);
  Object.assign(form.fields, { ...named, settings: '30 43.7', weakestRating: '43.7' });
  expect(form.checked.errors).toEqual({});
  form.changeUnits('metric');
  expect(form.checked.errors).toEqual({});
});

test('a bore may be a fraction of an inch, also over a change of units', () => {
  expect(check({ hoseBore: '3/8' }).setup?.rig.plumbing?.hoseBore_m).toBeCloseTo(0.009525, 9);
  expect(check({ hoseBore: '1/0' }).setup).toBeNull();
  expect(check({ hoseLength: '1/2' }).setup).toBeNull();
  const form = new SetupForm('instrument', 'us', 1);
  form.fields.hoseBore = '1/2';
  form.changeUnits('metric');
  expect(form.fields.hoseBore).toBe('12.7');
  form.changeUnits('us');
  expect(form.fields.hoseBore).toBe('1/2');
});

test('a name that no headline holds, and the same name twice, are told', () => {
  expect(check({ tipName: 'x'.repeat(81) }).errors.tipName).toMatch(/80/);
  const bag = { routine: 'bag', settings: '40', otherTip: 'a, b, A' } as const;
  expect(check(bag).errors.otherTip).toMatch(/“a” and “A”/);
});
