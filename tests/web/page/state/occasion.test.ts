import { expect, test } from 'vitest';
import { checkSetup } from '../../../../web/state/setup-check.ts';
import { blankFields, settingsOfCheck } from '../../../../web/state/setup-fields.ts';
import { KEPT_SETUP_KEY, KeptSetup } from '../../../../web/state/kept-setup.ts';
import { SetupForm } from '../../../../web/state/setup-form.svelte.ts';
import { shownUnits } from '../../../../web/wording/units.ts';

const named = { tipName: 'Tip 7', rigName: 'green knapsack' };

function form(): SetupForm {
  const made = new SetupForm('instrument', 'us', 7);
  Object.assign(made.fields, named);
  return made;
}

test('what a sweep is for goes into the set-up', () => {
  for (const occasion of ['sweep', 'new-tip', 'weekly-check'] as const) {
    const one = form();
    one.setOccasion(occasion);
    expect(one.checked.setup?.occasion).toBe(occasion);
  }
  const hand = checkSetup(
    { ...blankFields('us'), ...named, occasion: 'weekly-check' },
    shownUnits.us,
    7,
    true,
  );
  expect(hand.setup?.occasion).toBe('weekly-check');
});

test('several tips in turn are no baseline and no check', () => {
  const one = form();
  one.setOccasion('new-tip');
  one.setRoutine('boom');
  expect(one.checked.setup?.occasion).toBe('sweep');
});

test('a check is two settings of the list; the list comes back', () => {
  const one = form();
  one.fields.settings = '15 25 35 45 55';
  one.setOccasion('weekly-check');
  expect(one.fields.settings).toBe('25 45');
  one.setOccasion('new-tip');
  expect(one.fields.settings).toBe('15 25 35 45 55');
  // More typed for the check is the person's, and stays.
  one.setOccasion('weekly-check');
  one.fields.settings = '20 30 40';
  one.setOccasion('sweep');
  expect(one.fields.settings).toBe('20 30 40');
  // After a change of units the usual list serves.
  one.setOccasion('weekly-check');
  one.fields.settings = '25 45';
  one.changeUnits('metric');
  one.setOccasion('sweep');
  expect(one.fields.settings).toBe('1.5 2 2.5 3 4');
});

test.each([
  ['20 30 40 50 60', '30 50'],
  ['20, 30, 40, 50', '30 40'],
  ['20 30 40', '30'],
  ['20 30', '20 30'],
  ['40', '40'],
  ['', ''],
])('of “%s” a check takes “%s”', (list, taken) => {
  expect(settingsOfCheck(list)).toBe(taken);
});

test('another day the tip is not new any more, and the whole list is there', () => {
  let stored: string | null = null;
  const store = { getItem: () => stored, setItem: (_: string, text: string) => void (stored = text) };
  const one = form();
  one.setOccasion('weekly-check');
  new KeptSetup(store).keep(one.toKeep);
  const { fields } = new KeptSetup(store).latest!;
  expect(fields).toMatchObject({ occasion: 'sweep', settings: '20 30 40 50 60', tipName: 'Tip 7' });
  // Kept by a version that knew of none.
  const older = JSON.parse(stored!) as { fields: Record<string, string> };
  delete older.fields['occasion'];
  stored = JSON.stringify(older);
  expect(new KeptSetup(store).latest?.fields.occasion).toBe('sweep');
  expect(KEPT_SETUP_KEY).not.toBe('');
});
