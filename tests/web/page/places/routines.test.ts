import { fireEvent, screen, waitFor, within } from '@testing-library/svelte';
import { expect, test } from 'vitest';
import type {
  Ratio,
  RoutineView,
  SetCompared,
  SeveralTips,
  SweepSetup,
  SweepView,
} from '../../../../web/contract.ts';
import { drawRoutine } from '../../../../web/charts/routine-picture.ts';
import { moveLine, nozzleLine, nozzleName, thenNozzle } from '../../../../web/wording/routines.ts';
import {
  bagSentence,
  habitSentence,
  setNotes,
  setRows,
  setSentence,
  truthOfTwo,
  twoSentence,
  withHabit,
} from '../../../../web/wording/routine-result.ts';
import { planSentence } from '../../../../web/wording/routine-setup.ts';
import { nextLine, promptLine } from '../../../../web/wording/prompts.ts';
import { bigFigure, contextLine } from '../../../../web/wording/running.ts';
import { shownUnits } from '../../../../web/wording/units.ts';
import { doneSweep, psi, sampleCatch, sampleSetup, sampleSweep } from '../sample-sweep.ts';
import { mountPage } from './mounted.ts';

const { us } = shownUnits;
const button = (name: string | RegExp) => screen.getByRole('button', { name });
const type = (label: string, value: string) =>
  fireEvent.input(screen.getByLabelText(label), { target: { value } });

const ratio = (value: number, half: number): Ratio => ({
  ratio: value,
  relativeStandardUncertainty: half / 2,
  degreesOfFreedom: 6,
  expandedUncertainty95: half,
  verdict: Math.abs(value - 1) > half ? 'different' : 'none-seen',
  largestDifference: Math.abs(value - 1) + half,
});
const two = (compared: Ratio): Extract<SeveralTips, { kind: 'two' }> => ({
  kind: 'two',
  tip: 'grey 8',
  against: 'grey 7',
  compared,
  comparedBecause: null,
  catchStandardDeviation: 0.003,
  drift: null,
});
const twoSetup: SweepSetup = {
  ...sampleSetup,
  tip: { ...sampleSetup.tip, name: 'grey 7' },
  settings_Pa: [psi(40)],
  catchesPerSetting: 2,
  routine: {
    kind: 'tip-against-tip',
    otherTip: { name: 'grey 8', ratedFlow_m3_per_s: null, ratedPressure_Pa: null },
    wantedDifference: 0.02,
  },
};
const inTurn = ['grey 7', 'grey 8', 'grey 8', 'grey 7'].map((label, i) => sampleCatch(i, 40, { label }));
const routineView = (several: SeveralTips | null): RoutineView => ({
  kind: 'tip-against-tip',
  label: 'grey 8',
  plan: [
    { label: 'grey 7', wanted: 2, done: 1 },
    { label: 'grey 8', wanted: 2, done: 0 },
  ],
  several,
});
const asked = { of: 'tips', index: 1, label: 'grey 8', change: 'change' } as const;

function running(more: Partial<SweepView> = {}): SweepView {
  return sampleSweep({
    setup: twoSetup,
    settingNow_Pa: psi(40),
    running: null,
    picture: null,
    catches: inTurn.slice(0, 1),
    prompt: {
      kind: 'set-and-spray',
      setting_Pa: psi(40),
      turnAwayFirst: false,
      sameAgain: true,
      nozzle: asked,
    },
    routine: routineView(null),
    ...more,
  });
}

test('the caution comes before the tip is touched, each time it is changed', () => {
  expect(nozzleLine({ sameAgain: true }, asked, '40 psi')).toBe(
    'Pump off, trigger open, pressure at zero. Now change to tip B. Leave the dial. Spray.',
  );
  expect(nozzleLine({ sameAgain: true }, { ...asked, change: 'same' }, '40 psi')).toBe(
    'Leave tip B on, leave the dial. Spray again.',
  );
  expect(nozzleLine({ sameAgain: false }, { ...asked, index: 0, change: 'first' }, '40 psi')).toBe(
    'Pump off, trigger open, pressure at zero. Put tip A on. Set 40 psi. Spray into the pail.',
  );
});

test('at a boom the pail is moved with the water off, and a restless scale is said', () => {
  const nozzle = { of: 'boom', index: 2, label: '3', count: 6 } as const;
  expect(nozzleName(nozzle)).toBe('position 3');
  const move = { kind: 'move-pail', nozzle, isFirst: false, restless: false } as const;
  expect(moveLine(move)).toMatch(/^Water off\. Empty the pail, stand it and the scale under position 3/);
  expect(moveLine({ ...move, restless: true })).toContain('does not come to rest');
  expect(moveLine({ ...move, isFirst: true })).not.toContain('Water off');
  const spraying = { kind: 'keep-spraying', setting_Pa: psi(40) } as const;
  expect(nextLine(spraying, move, us, 3, false)).toBe('Then shut off, and move the pail to position 3.');
  expect(nextLine({ kind: 'hold-still' }, move, us, 3, false)).toBe('Then move the pail to position 3.');
  expect(thenNozzle(asked)).toBe('pressure off, and change to tip B');
});

test('the running screen names the tip whose turn it is, and which name is A', () => {
  const sweep = running();
  expect(bigFigure(sweep, us)).toMatchObject({ value: 'B', unit: 'tip to put on', tone: 'asked' });
  expect(contextLine(sweep, us)).toBe('Catch 2 of 4 at 40 psi · A: grey 7, B: grey 8 · green knapsack');
  expect(promptLine(sweep.prompt, us, null)).toContain('change to tip B');
});

test('a difference is told in one sentence, and so is none', () => {
  expect(twoSentence(two(ratio(1.031, 0.006)))).toBe(
    'grey 8 gives 3.1 % more than grey 7, give or take 0.6.',
  );
  expect(twoSentence(two(ratio(0.969, 0.006)))).toBe(
    'grey 8 gives 3.1 % less than grey 7, give or take 0.6.',
  );
  expect(twoSentence(two(ratio(1.004, 0.0078)))).toBe(
    'No difference larger than 1.2 % between grey 7 and grey 8.',
  );
  // Rounded up: what is promised is never less than what was found.
  expect(twoSentence(two(ratio(1.004, 0.00801)))).toContain('1.3 %');
  const truth = (share: number) =>
    truthOfTwo(two(ratio(1.031, 0.006)), (label) => (label === 'grey 8' ? share : 1));
  expect(truth(1.029)).toBe('in truth grey 8 gives 2.9 % more than grey 7, inside the ±.');
  expect(truth(1.05)).toContain('outside');
});

const member = (label: string, value: number, half = 0.01): SetCompared['members'][number] => ({
  label,
  catches: 2,
  flow_m3_per_s: 2e-5 * value,
  expandedUncertainty95_m3_per_s: 2e-5 * half,
  againstMean: ratio(value, half),
  habit: value - half > 1.1 || value + half < 0.9 ? 'outside' : 'within',
});
const boom: SetCompared = {
  members: [member('1', 1.01), member('2', 1.13), member('3', 0.86, 0.02)],
  mean_m3_per_s: 2e-5,
  coefficientOfVariation: 0.135,
  coefficientOfVariationOfTips: 0.1349,
  habitLimit: 0.1,
  ties: [],
  repeat: ratio(1.002, 0.008),
  warnings: [],
};
const position = (label: string): string => `position ${label}`;

test('a boom: who is outside the habit, by how much, and what the habit rests on', () => {
  expect(setSentence(boom, position)).toBe(
    'Outside 10 % of the mean: position 2 (13.0 % more) and position 3 (14.0 % less).',
  );
  expect(habitSentence(0.1)).toContain('is a habit');
  expect(setNotes(boom, position)[0]).toContain('Position 1 again at the end: no change larger than 1 %');
  expect(setRows(boom, position, us)[1]).toEqual([
    'position 2',
    '2',
    expect.stringMatching(/gal\/min/),
    expect.any(String),
    '+13.0 % ± 1.0',
    'outside',
  ]);
});

test('another habit judges the same intervals anew: inside or outside only as a whole', () => {
  const at = (limit: number) => withHabit(boom, limit).members.map((m) => m.habit);
  expect(at(0.15)).toEqual(['within', 'within', 'cannot-tell']);
  expect(at(0.05)).toEqual(['within', 'outside', 'outside']);
  expect(setSentence(withHabit(boom, 0.15), position)).toContain(
    'Too near the limit of 15 % of the mean to tell: position 3',
  );
});

test('two rows over time: the same scale in both, and what differs stands apart', () => {
  const catches = inTurn.map((c) => ({ ...c, flow_m3_per_s: c.label === 'grey 8' ? 2.06e-5 : 2e-5 }));
  const input = { catches, labels: ['grey 7', 'grey 8'], set: null, limit: 0.1, nameOf: (l: string) => l };
  const drawn = drawRoutine(input, { width: 600, height: 400 })!;
  const [a, b] = drawn.rows;
  const up = drawn.marks.map((mark) => drawn.rows[mark.row]!.y - mark.y);
  expect(up[1]).toBeCloseTo(up[2]!, 6);
  expect(up[0]).toBeCloseTo(-up[1]!, 6);
  expect(up[1]).toBeGreaterThan(0);
  expect(drawn.marks.map((m) => m.x)).toEqual([...drawn.marks.map((m) => m.x)].sort((x, y) => x - y));
  expect(b!.y).toBeGreaterThan(a!.y);
  // A struck catch, or one of no tip, is no mark.
  const struck = drawRoutine(
    { ...input, catches: [{ ...catches[0]!, struck: true }, ...catches.slice(1)] },
    { width: 600, height: 400 },
  )!;
  expect(struck.marks).toHaveLength(3);
  expect(drawRoutine({ ...input, catches: [] }, { width: 600, height: 400 })).toBeNull();
});

test('what a difference takes is told before it begins, and a number that was typed stays', async () => {
  const { fake } = mountPage();
  await fireEvent.click(button(/simulated bench/));
  await fireEvent.click(screen.getByLabelText('two tips against each other'));
  const told = await screen.findByTestId('tip-plan');
  await waitFor(() => expect(told.textContent).toContain('To see 2 % takes 4 catches of each tip'));
  expect(screen.getByLabelText<HTMLInputElement>('Catches of each tip').value).toBe('4');
  expect(screen.getByLabelText<HTMLInputElement>('Pressure settings').value).toBe('40');
  expect(screen.queryByLabelText('random')).toBeNull();
  await type('Catches of each tip', '6');
  await type('The difference to be seen', '1');
  await waitFor(() => expect(told.textContent).toContain('To see 1 %'));
  expect(screen.getByLabelText<HTMLInputElement>('Catches of each tip').value).toBe('6');
  await fireEvent.click(button('Go'));
  await waitFor(() => expect(fake.names()).toContain('startSweep'));
  const setup = fake.calls.find(({ name }) => name === 'startSweep')!.args[0] as SweepSetup;
  expect(setup).toMatchObject({
    catchesPerSetting: 6,
    protocol: 'each-catch',
    settingsFrom: 'prompts',
    routine: { kind: 'tip-against-tip', otherTip: { name: 'Invented tip 2' }, wantedDifference: 0.01 },
  });
  expect(setup.settings_Pa).toHaveLength(1);
});

test('what is wrong stands by its field: the same tip, a difference of nothing, two pressures', async () => {
  const { fake } = mountPage();
  await fireEvent.click(button(/simulated bench/));
  await fireEvent.click(screen.getByLabelText('two tips against each other'));
  await screen.findByLabelText('Name of the other tip (B)');
  await type('Name of the other tip (B)', ' invented  TIP');
  await type('The difference to be seen', '0');
  await type('Pressure settings', '20 40');
  await fireEvent.click(button('Go'));
  expect(screen.getByText(/That is the same tip/)).toBeTruthy();
  expect(screen.getByText(/Has to be from 0.2 % to 50 %/)).toBeTruthy();
  expect(screen.getAllByText(/type one pressure/).length).toBeGreaterThan(0);
  expect(fake.names()).not.toContain('startSweep');
});

test('a boom needs two nozzles; back at one tip all is as it was', async () => {
  const { fake } = mountPage();
  await fireEvent.click(button(/simulated bench/));
  await fireEvent.click(screen.getByLabelText('nozzles of a boom'));
  await screen.findByLabelText('Nozzles on the boom');
  await type('Nozzles on the boom', '1');
  await fireEvent.click(button('Go'));
  expect(screen.getByText('A whole number from 2 to 60.')).toBeTruthy();
  await fireEvent.click(screen.getByLabelText('one tip, its curve'));
  expect(screen.getByLabelText<HTMLInputElement>('Pressure settings').value).toBe('20 30 40 50 60');
  expect(screen.getByLabelText<HTMLInputElement>('Catches per setting').value).toBe('3');
  await fireEvent.click(button('Go'));
  await waitFor(() => expect(fake.names()).toContain('startSweep'));
  const setup = fake.calls.find(({ name }) => name === 'startSweep')!.args[0] as SweepSetup;
  expect(setup.routine).toBeNull();
});

test('the result is one sentence, the picture and the table, with the tip of each catch', async () => {
  const { fake, bench } = mountPage();
  await bench.goSimulated(
    { scenario: 'clean', seed: 1, speed: 20, instrument: 'scale', tipFlowAt275790Pa_m3_per_s: null },
    twoSetup,
  );
  const several = two(ratio(1.031, 0.006));
  const done = doneSweep();
  fake.show({
    instrument: { ...(await import('../fake-bench.ts')).readingScale },
    sweep: {
      ...done,
      setup: twoSetup,
      catches: inTurn,
      picture: null,
      pictureBecause: 'several-tips',
      routine: routineView(several),
      trueNozzleShares: [1, 1.03],
      phase: 'done',
      prompt: { kind: 'done' },
    },
  });
  await screen.findByRole('heading', { name: 'grey 8 gives 3.1 % more than grey 7, give or take 0.6.' });
  expect(screen.getByTestId('routine-truth').textContent).toContain('inside the ±');
  const table = screen
    .getAllByRole('table')
    .find((one) => within(one).queryByText('Tip, position') !== null)!;
  expect(within(table).getAllByText('grey 8')).toHaveLength(2);
  expect(screen.queryByText(/no one curve/)).toBeNull();
});

test('more catches are offered with two buttons: go on, or end here', async () => {
  const { fake, bench } = mountPage();
  await bench.goSimulated(
    { scenario: 'clean', seed: 1, speed: 20, instrument: 'scale', tipFlowAt275790Pa_m3_per_s: null },
    twoSetup,
  );
  fake.show({
    instrument: { ...(await import('../fake-bench.ts')).readingScale },
    sweep: running({ phase: 'paused', prompt: { kind: 'more-catches', catchesPerTip: 4 } }),
  });
  await screen.findByText(/4 more of each would tell more/);
  await fireEvent.click(button(/Go on/));
  await waitFor(() => expect(fake.names()).toContain('goOn'));
  expect(screen.getAllByRole('button', { name: /End/ }).length).toBeGreaterThan(0);
});

test('typed names are shown as text, whatever they hold', async () => {
  const { fake, bench } = mountPage();
  const odd = '<img src=x onerror=alert(1)>';
  const setup = {
    ...twoSetup,
    routine: { ...twoSetup.routine!, otherTip: { ...twoSetup.tip, name: odd } },
  } as SweepSetup;
  await bench.goSimulated(
    { scenario: 'clean', seed: 1, speed: 20, instrument: 'scale', tipFlowAt275790Pa_m3_per_s: null },
    setup,
  );
  fake.show({
    instrument: { ...(await import('../fake-bench.ts')).readingScale },
    sweep: running({
      setup,
      catches: inTurn.map((c) => ({ ...c, label: odd })),
      routine: { ...routineView(null), label: odd },
    }),
  });
  await screen.findByText(/B: <img/);
  expect(document.querySelector('img')).toBeNull();
});

test('a bag: which can’t be told apart, and which are different from all others', async () => {
  const set: SetCompared = { ...boom, ties: [['1', '3']], repeat: null };
  const name = (label: string): string => `tip ${label}`;
  expect(bagSentence(set, name)).toBe(
    'Can’t be told apart: tip 1 and tip 3. Different from all others: tip 2.',
  );
  expect(bagSentence({ ...set, ties: [] }, name)).toMatch(/^All are different from each other:/);
  const { fake } = mountPage();
  await fireEvent.click(button(/simulated bench/));
  await fireEvent.click(screen.getByLabelText('several tips, which differ'));
  await screen.findByLabelText('Names of the other tips (B, C, …)');
  await fireEvent.click(button('Go'));
  await waitFor(() => expect(fake.names()).toContain('startSweep'));
  const setup = fake.calls.find(({ name: called }) => called === 'startSweep')!.args[0] as SweepSetup;
  if (setup.routine?.kind !== 'bag') throw new Error('no bag');
  expect(setup.routine.otherTips.map((tip) => tip.name)).toEqual([
    'Invented tip 2',
    'Invented tip 3',
    'Invented tip 4',
  ]);
});

test('a plan that takes too many says which difference could be seen', () => {
  const refusal = { ok: false, because: 'difference-needs-too-many', facts: { least: 0.0123 } } as const;
  expect(planSentence(0.002, refusal)).toContain('Sixty of each would show about 1.2 %');
});
