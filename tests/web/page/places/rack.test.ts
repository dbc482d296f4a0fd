import { fireEvent, screen, waitFor, within } from '@testing-library/svelte';
import { expect, test } from 'vitest';
import type { RackView } from '../../../../web/contract.ts';
import { readingScale } from '../fake-bench.ts';
import { noReference, sampleCompared, sampleDiagnosis, sampleRack, samplePair } from '../sample-rack.ts';
import { doneSweep } from '../sample-sweep.ts';
import { mountPage } from './mounted.ts';

const main = () => screen.getByRole('main');
const rack = sampleRack();
const nameOf = (index: number): string => rack.tips[index]!.name;
const keyOf = (index: number): string => encodeURIComponent(rack.tips[index]!.key);

async function at(hash: string, view: RackView = rack) {
  const page = mountPage();
  page.fake.answers.rack = { ok: true, value: view };
  await go(hash);
  return page;
}

async function go(hash: string) {
  window.location.hash = hash;
  window.dispatchEvent(new Event('hashchange'));
  await screen.findByRole('heading', { level: 1 });
}

const row = async (name: string): Promise<HTMLElement> =>
  (await screen.findByRole('link', { name: new RegExp(`^${name}`) })).closest('li')!;

test('an empty rack says what it is, how a tip gets there, and offers a simulated season', async () => {
  const { fake } = await at('#/rack', { tips: [], rigs: [], unreadable: 0 });
  await screen.findByText('No tip here yet.');
  expect(main().textContent).toMatch(/comes here with its first sweep/);
  expect(screen.getByRole('link', { name: 'Look at a simulated season' }).getAttribute('href')).toBe(
    '#/rack/season',
  );
  fake.answers.rack = { ok: true, value: rack };
  await go('#/rack/season');
  await screen.findByText('A simulated season');
  expect(fake.calls.filter(({ name }) => name === 'rack').map(({ args }) => args[0])).toEqual([
    'book',
    'simulated-season',
  ]);
  expect(main().textContent).toContain('nothing of it is kept');
});

test('every tip is a row: name, size with the colour’s name, finding, reference, last check; retired ones are folded', async () => {
  await at('#/rack');
  const brass = await row('Old brass');
  expect(brass.textContent).toMatch(/size 03, blue/);
  expect(brass.textContent).toMatch(/Worn, 9 %; found twice/);
  expect(brass.textContent).toMatch(/baseline of 1 sweep.*rated 0\.32/);
  expect(brass.textContent).toMatch(/last check .*green knapsack/);
  expect(brass.querySelector('svg')).not.toBeNull();
  expect((await row('Practice tip')).textContent).toContain('simulated');
  const listed = within(screen.getByTestId('tips'));
  expect(listed.queryByText(nameOf(5))).toBeNull();
  expect(screen.getByText('Retired tips (1)')).toBeTruthy();
  expect(main().innerHTML).not.toMatch(/green(?! knapsack)/);
});

test('records that can’t be read are told, and the rest is there', async () => {
  await at('#/rack', { ...rack, unreadable: 2 });
  expect(await screen.findByText(/2 records could not be read/)).toBeTruthy();
  expect(await row('Old brass')).toBeTruthy();
});

test('a refusal of the worker is told in words', async () => {
  const page = mountPage();
  page.fake.answers.rack = { ok: false, because: 'storage-failed' };
  await go('#/rack');
  expect((await screen.findByRole('alert')).textContent).not.toBe('');
  expect(main().textContent).not.toContain('Working');
});

test('two to six are picked and compared: sentences, table, the one they are held against', async () => {
  const { fake } = await at('#/rack');
  fake.answers.compareTips = { ok: true, value: sampleCompared(rack.tips.slice(0, 2), rack.tips[0]!.key) };
  await row('Old brass');
  expect(screen.getByText('Pick two to six tips to compare.')).toBeTruthy();
  await fireEvent.click(screen.getByLabelText(`compare: ${nameOf(0)}`));
  expect(screen.queryByRole('link', { name: /Compare these/ })).toBeNull();
  await fireEvent.click(screen.getByLabelText(`compare: ${nameOf(1)}`));
  const link = screen.getByRole('link', { name: 'Compare these (2)' });
  await go(link.getAttribute('href')!);
  await screen.findByText(/Old brass gives 9.0.% more than Tip 7, grey, give or take 1.0\./);
  expect(main().textContent).toContain('Not measured alike: on another day');
  expect(fake.calls.at(-1)).toEqual({
    name: 'compareTips',
    args: ['book', [rack.tips[0]!.key, rack.tips[1]!.key], rack.tips[0]!.key],
  });
  const table = within(screen.getByRole('table'));
  expect(table.getAllByRole('row')).toHaveLength(6);
  await fireEvent.change(screen.getByLabelText('Held against'), { target: { value: rack.tips[1]!.key } });
  window.dispatchEvent(new Event('hashchange'));
  await waitFor(() => expect(fake.calls.at(-1)!.args[2]).toBe(rack.tips[1]!.key));
});

test('seven are too many, and it says so', async () => {
  const view = { ...rack, tips: rack.tips.map((tip) => ({ ...tip, retired: false })) };
  await at('#/rack', view);
  await row('Old brass');
  for (const box of screen.getAllByRole('checkbox')) await fireEvent.click(box);
  expect(screen.getByText(/Six at most/)).toBeTruthy();
  expect(screen.queryByRole('link', { name: /Compare these/ })).toBeNull();
});

test('a pair that can’t be compared says why beside those that can; a refusal of all is told too', async () => {
  const { fake } = await at('#/rack');
  const compared = sampleCompared(rack.tips.slice(0, 3), rack.tips[0]!.key);
  fake.answers.compareTips = {
    ok: true,
    value: {
      ...compared,
      pairs: [
        {
          ...samplePair(rack.tips[1]!.key, compared.against, 1.09, 0.01),
          compared: null,
          comparedBecause: 'no-curve',
          at: [],
        },
        compared.pairs[1]!,
      ],
    },
  };
  await go(`#/rack/compare/${keyOf(0)},${keyOf(1)},${keyOf(2)}`);
  await screen.findByText(/can’t be compared\. There is no curve yet/);
  expect(main().textContent).toContain('no difference larger than');
  fake.answers.compareTips = { ok: false, because: 'sweeps-not-alike' };
  await go(`#/rack/compare/${keyOf(0)},${keyOf(2)}`);
  expect((await screen.findByRole('alert')).textContent).toContain('nothing to compare');
});

test('a tip’s own page: finding with its test, the weeks, its sweeps leading to the Log', async () => {
  await at(`#/rack/${keyOf(1)}`);
  const finding = await screen.findByTestId('finding');
  expect(finding.textContent).toMatch(/Worn: 9\.0.%.*second sweep says the same\. Replace the tip/s);
  expect(finding.textContent).toContain('pump off, trigger open, pressure at zero');
  expect(screen.getByTestId('finding-rule').textContent).toMatch(/whole curve lies higher/);
  expect(screen.getByTestId('drift').textContent).toMatch(/Drifted: beyond the limit from/);
  expect(screen.getByTestId('drift').textContent).toMatch(/all 4 tips of this rig jumped together/);
  const link = screen.getAllByRole('link', { name: /^Open: / })[0]!;
  expect(link.getAttribute('href')).toMatch(/^#\/log\//);
});

test('without a reference there is no verdict, and how to get one', async () => {
  await at(`#/rack/${keyOf(4)}`);
  const finding = await screen.findByTestId('finding');
  expect(finding.textContent).toMatch(/No finding yet: there is nothing to hold this curve against/);
  expect(finding.textContent).toMatch(/How to get one.*stamped on the tip.*baseline/s);
  expect(screen.queryByTestId('finding-rule')).toBeNull();
});

test('what is known of a tip is kept at each change, the chosen baseline left alone, and undone', async () => {
  const { fake } = await at(`#/rack/${keyOf(1)}`);
  await fireEvent.click(await screen.findByLabelText(/^Drawer tip/));
  await waitFor(() => expect(fake.names()).toContain('saveTip'));
  expect(fake.calls.find(({ name }) => name === 'saveTip')!.args).toEqual([
    { name: 'Old brass', isoSize: '03', drawer: true, retired: false, note: '', baselineSweepIds: null },
    false,
  ]);
  await screen.findByText('Kept.');
  await fireEvent.click(screen.getByRole('button', { name: 'Undo' }));
  await screen.findByText('Taken back.');
  expect(fake.calls.filter(({ name }) => name === 'saveTip').at(-1)!.args[0]).toMatchObject({
    drawer: false,
  });
  expect(screen.queryByRole('button', { name: 'Undo' })).toBeNull();
});

test('which sweeps are the baseline is chosen from those with a curve, beginning with those that count now', async () => {
  const { fake } = await at(`#/rack/${keyOf(1)}`);
  await fireEvent.click(await screen.findByLabelText('those I tick'));
  await waitFor(() => expect(fake.names()).toContain('saveTip'));
  expect(fake.calls.find(({ name }) => name === 'saveTip')!.args[0]).toMatchObject({
    baselineSweepIds: rack.tips[1]!.baseline!.sweepIds,
  });
});

test('a note that can’t be kept is told, and nothing says that it was', async () => {
  const { fake } = await at(`#/rack/${keyOf(1)}`);
  fake.answers.saveTip = { ok: false, because: 'storage-full' };
  await fireEvent.change(await screen.findByLabelText('Note'), { target: { value: 'from the left boom' } });
  await screen.findByRole('alert');
  expect(screen.queryByText('Kept.')).toBeNull();
  expect(screen.queryByRole('button', { name: 'Undo' })).toBeNull();
});

test('of the invented season nothing can be kept, and its sweeps lead nowhere', async () => {
  const { fake } = await at(`#/rack/season/${keyOf(1)}`);
  await screen.findByText(/nothing is kept of it/);
  expect(screen.getByLabelText('Note').closest('fieldset')!.disabled).toBe(true);
  expect(screen.queryAllByRole('link', { name: /^Open: / })).toHaveLength(0);
  expect(fake.names()).not.toContain('saveTip');
});

test('tip or rig: one sentence, a picture with its table, and what would settle it', async () => {
  await at('#/rack');
  const panel = await screen.findByTestId('tip-or-rig');
  expect(panel.textContent).toMatch(
    /About three quarters of what these 4 tips give too little is the rig’s doing, since/,
  );
  expect(panel.textContent).toContain('Old brass is off by itself');
  expect(panel.textContent).toContain('What holds it down:');
  expect(within(panel).getAllByRole('row')).toHaveLength(5);
  expect(panel.textContent).toContain('at no pressure the dial showed 2.0');
});

test('a name from a stranger is text, whatever it holds', async () => {
  const name = '<img src=x onerror=alert(1)>';
  const view = { ...rack, tips: [{ ...rack.tips[0]!, name, note: name }] };
  await at('#/rack', view);
  expect((await screen.findAllByText(name)).length).toBeGreaterThan(0);
  await go(`#/rack/${keyOf(0)}`);
  await screen.findByTestId('finding');
  expect(main().querySelector('img')).toBeNull();
});

test('an address of a tip that is not there leads back', async () => {
  await at('#/rack/measured%3Anobody');
  expect((await screen.findByRole('alert')).textContent).toContain('No tip of this name');
  expect(screen.getByRole('link', { name: 'Back to the rack' }).getAttribute('href')).toBe('#/rack');
});

test('on the result screen: the finding, its mark on the curve in words, and the test that would settle it', async () => {
  const page = mountPage();
  page.fake.show({
    instrument: readingScale,
    sweep: { ...doneSweep(), diagnosis: sampleDiagnosis({ said: 'worn' }) },
  });
  const finding = await screen.findByTestId('finding');
  expect(finding.textContent).toMatch(/Worn: 9\.0.%, give or take 1\.4, over its own baseline/);
  expect(finding.textContent).toContain('look again before you change anything');
  expect(within(finding).getByRole('button', { name: 'A second sweep of this tip' })).toBeTruthy();
  const figures = within(screen.getByTestId('finding-rule')).getByRole('table');
  expect(within(figures).getAllByRole('row')).toHaveLength(8);
});

test('a result without a reference says how to get one; one that was not looked at says nothing', async () => {
  const page = mountPage();
  page.fake.show({ instrument: readingScale, sweep: { ...doneSweep(), diagnosis: noReference } });
  expect((await screen.findByTestId('finding')).textContent).toContain('How to get one');
  page.fake.show({ instrument: readingScale, sweep: { ...doneSweep(), diagnosis: null } });
  await waitFor(() => expect(screen.queryByTestId('finding')).toBeNull());
});

test('another limit for wear asks the worker for another forecast', async () => {
  const { fake } = await at('#/rack');
  await row('Old brass');
  await fireEvent.click(screen.getByRole('button', { name: /^Options/ }));
  await fireEvent.click(screen.getByLabelText('+5 %'));
  await waitFor(() => expect(fake.calls.filter(({ name }) => name === 'rack')).toHaveLength(2));
  expect(fake.calls.filter(({ name }) => name === 'rack').map(({ args }) => args[1])).toEqual([1.1, 1.05]);
  expect(document.body.textContent).toContain('Agdex');
});
