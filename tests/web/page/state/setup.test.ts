import { expect, test } from 'vitest';
import { checkSetup } from '../../../../web/state/setup-check.ts';
import { blankFields, demoFields, type SetupFields } from '../../../../web/state/setup-fields.ts';
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

test('a change of units turns typed figures over and gives round ones for the untouched', () => {
  const form = new SetupForm('instrument', 'us', 1);
  form.fields.settings = '29 58';
  form.fields.water = 'warm';
  form.changeUnits('metric');
  expect(form.fields.settings).toBe('1.999 3.999');
  expect(form.fields.pail).toBe('20');
  // What can't be read stays as typed.
  expect(form.fields.water).toBe('warm');
});
