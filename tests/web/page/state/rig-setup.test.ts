import { expect, test } from 'vitest';
import { KEPT_SETUP_KEY, KeptSetup } from '../../../../web/state/kept-setup.ts';
import { beatOf } from '../../../../web/state/beat-of.ts';
import { checkSetup } from '../../../../web/state/setup-check.ts';
import { demoFields, type SetupFields } from '../../../../web/state/setup-fields.ts';
import { SetupForm } from '../../../../web/state/setup-form.svelte.ts';
import { shownUnits } from '../../../../web/wording/units.ts';
import type { BenchView } from '../../../../web/contract.ts';
import { nothingOpen } from '../../../../web/state/nothing-open.ts';
import { aSetup } from '../../../builders/setup.ts';

const checked = (changes: Partial<SetupFields>, byHand = false) =>
  checkSetup({ ...demoFields('us'), ...changes }, shownUnits.us, 1, byHand);

test('the kind of rig, its beat and what stands on the scale reach the set-up', () => {
  expect(checked({}).setup!.rig).toMatchObject({ kind: 'held', strokePeriod_s: null, standsOnScale: 'pail' });
  expect(checked({ rigKind: 'pumped-while-spraying', beat: '1,8' }).setup!.rig).toMatchObject({
    kind: 'pumped-while-spraying',
    strokePeriod_s: 1.8,
  });
  // A beat that does not matter is not looked at.
  expect(checked({ rigKind: 'hose-reel', beat: 'often' }).setup!.rig).toMatchObject({
    kind: 'hose-reel',
    strokePeriod_s: null,
  });
  expect(
    checked({ rigKind: 'pumped-up', standsOnScale: 'sprayer', pail: '3', scaleLimit: '60' }).setup!.rig
      .standsOnScale,
  ).toBe('sprayer');
});

test.each([
  [{ rigKind: 'pumped-while-spraying', beat: '0' }, 'beat'],
  [{ rigKind: 'pumped-while-spraying', beat: '' }, 'beat'],
  [{ rigKind: 'pumped-while-spraying', beat: 'often' }, 'beat'],
  [{ rigKind: 'pumped-while-spraying', beat: '60' }, 'beat'],
  [{ rigKind: 'pumped-while-spraying', standsOnScale: 'sprayer' }, 'standsOnScale'],
  [{ standsOnScale: 'sprayer', pail: '5', scaleLimit: '40' }, 'scaleLimit'],
] as const)('%o is told by its field', (changes, field) => {
  const found = checked(changes);
  expect(found.setup).toBeNull();
  expect(found.errors[field]).toMatch(/\w/);
});

test('timing by hand asks for none of it', () => {
  expect(checked({ rigKind: 'pumped-while-spraying', beat: '0' }, true).setup!.rig.kind).toBe('held');
});

test('a set-up kept before there were kinds of rig still loads, and a kind that is none of ours does not', () => {
  const now = demoFields('us');
  const before = Object.fromEntries(
    Object.entries(now).filter(([name]) => !['rigKind', 'beat', 'standsOnScale'].includes(name)),
  );
  const load = (fields: unknown) =>
    new KeptSetup({
      getItem: (key) => (key === KEPT_SETUP_KEY ? JSON.stringify({ system: 'us', fields }) : null),
      setItem: () => undefined,
    }).latest;
  expect(load(before)!.fields).toMatchObject({
    tipName: 'Invented tip',
    rigKind: 'held',
    beat: '1.5',
    standsOnScale: 'pail',
  });
  expect(load({ ...now, rigKind: 'rocket' })).toBeNull();
});

test('a sprayer is heavier than a pail: figures nobody touched change with it and back, typed ones stay', () => {
  const form = new SetupForm('instrument', 'us', 1);
  form.setStandsOnScale('sprayer');
  expect(form.fields).toMatchObject({ pail: '3', scaleLimit: '60' });
  form.fields.pail = '2.5';
  form.setStandsOnScale('pail');
  expect(form.fields).toMatchObject({ pail: '2.5', scaleLimit: '40' });
});

test('figures nobody touched are still that after a change of units', () => {
  const form = new SetupForm('instrument', 'us', 1);
  form.changeUnits('metric');
  form.setStandsOnScale('sprayer');
  expect(form.fields).toMatchObject({ pail: '12', scaleLimit: '30' });
});

test('the beat sounds while strokes are asked for, in real time only', () => {
  const setup = aSetup({ rig: { ...aSetup().rig, kind: 'pumped-while-spraying', strokePeriod_s: 1.5 } });
  const view = (kind: string, speed: 1 | 20 | null): BenchView => ({
    instrument: { ...nothingOpen.instrument, speed },
    sweep: { setup, prompt: { kind } } as unknown as BenchView['sweep'],
  });
  expect(beatOf(view('set-and-spray', null))).toBe(1.5);
  expect(beatOf(view('keep-spraying', 1))).toBe(1.5);
  expect(beatOf(view('keep-spraying', 20))).toBeNull();
  expect(beatOf(view('hold-still', null))).toBeNull();
  expect(beatOf({ ...nothingOpen, sweep: null })).toBeNull();
});
