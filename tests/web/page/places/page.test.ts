import { readdirSync, readFileSync } from 'node:fs';
import { fireEvent, screen, waitFor, within } from '@testing-library/svelte';
import { tick } from 'svelte';
import { expect, test } from 'vitest';
import type { SimulatedBenchRequest, SweepSetup } from '../../../../web/contract.ts';
import { cautionLine } from '../../../../web/wording/cautions.ts';
import { readingScale } from '../fake-bench.ts';
import { doneSweep, psi, sampleCatch, sampleSweep } from '../sample-sweep.ts';
import { mountPage } from './mounted.ts';

const button = (name: string | RegExp) => screen.getByRole('button', { name });
const main = () => screen.getByRole('main');

test('the first choice names the four ways to begin, and only places that exist are offered', () => {
  mountPage();
  for (const name of [/Plug in an instrument/, /simulated bench/, /Open a capture/, /Time by hand/])
    button(name);
  const links = within(screen.getByRole('navigation')).getAllByRole('link');
  expect(links.map((link) => link.textContent)).toEqual(['Bench', 'Log']);
});

test('a newcomer presses two buttons: the simulated bench, and Go', async () => {
  const { fake, told } = mountPage();
  await fireEvent.click(button(/simulated bench/));
  expect(within(main()).getByText('simulated')).toBeTruthy();
  await fireEvent.click(button('Go'));
  await waitFor(() => expect(fake.names()).toContain('startSweep'));
  expect(told[0]).toBe('armed');
  const request = fake.calls.find(({ name }) => name === 'openSimulated')!.args[0] as SimulatedBenchRequest;
  expect(request).toMatchObject({ scenario: 'typical', speed: 20 });
  const setup = fake.calls.find(({ name }) => name === 'startSweep')!.args[0] as SweepSetup;
  expect(setup.settings_Pa).toEqual([20, 30, 40, 50, 60].map(psi));
  expect(setup.order).toBe('random');
});

test('a refused start is told in plain words', async () => {
  const { fake } = mountPage();
  fake.answers.startSweep = { ok: false, because: 'storage-full' };
  await fireEvent.click(button(/simulated bench/));
  await fireEvent.click(button('Go'));
  const alert = await screen.findByRole('alert');
  expect(alert.textContent).toContain('store is full');
  expect(alert.textContent).toContain('Export the capture');
});

test('a setting that can’t be has its sentence by the field, and nothing is asked of the worker', async () => {
  const { fake } = mountPage();
  await fireEvent.click(button(/simulated bench/));
  const settings = screen.getByLabelText('Pressure settings');
  await fireEvent.input(settings, { target: { value: '20 -30' } });
  await fireEvent.click(button('Go'));
  expect(settings.getAttribute('aria-invalid')).toBe('true');
  const described = settings
    .getAttribute('aria-describedby')!
    .split(' ')
    .map((id) => document.getElementById(id)?.textContent);
  expect(described.join(' ')).toContain('above zero');
  expect(fake.names()).not.toContain('openSimulated');
});

test('while water runs the flow so far stands there with its ±, marked simulated, with the caution', async () => {
  const { fake, awake } = mountPage();
  fake.show({ instrument: readingScale, sweep: sampleSweep() });
  await tick();
  expect(screen.getByTestId('big-number').textContent).toContain('0.340');
  expect(screen.getByTestId('big-number').textContent).toContain('± 0.003');
  expect(screen.getByRole('heading', { level: 1 }).textContent).toBe('Keep spraying. About 6 seconds more.');
  expect(screen.getByRole('progressbar').getAttribute('aria-valuenow')).toBe('62');
  expect(within(screen.getByRole('banner')).getByText('simulated')).toBeTruthy();
  expect(screen.getByText(cautionLine)).toBeTruthy();
  expect(awake.at(-1)).toBe(true);
});

test('the space bar pauses, and goes on', async () => {
  const { fake } = mountPage();
  fake.show({ instrument: readingScale, sweep: sampleSweep() });
  await tick();
  await fireEvent.keyDown(document.body, { key: ' ' });
  await waitFor(() => expect(fake.names()).toContain('pause'));
  fake.show({ instrument: readingScale, sweep: sampleSweep({ phase: 'paused' }) });
  await tick();
  button(/Go on/);
  await fireEvent.keyDown(document.body, { key: ' ' });
  await waitFor(() => expect(fake.names()).toContain('goOn'));
});

test('the catch in hand is struck out with a reason, and can be taken back once it is closed', async () => {
  const { fake } = mountPage();
  const sweep = sampleSweep();
  fake.show({ instrument: readingScale, sweep });
  await tick();
  await fireEvent.click(button('Strike this catch out'));
  expect(fake.names()).not.toContain('strike');
  await fireEvent.click(button('wand moved'));
  await waitFor(() => expect(fake.calls.at(-1)).toEqual({ name: 'strike', args: [-1, 'wand moved'] }));
  expect(screen.queryByRole('button', { name: 'Undo' })).toBeNull();
  const struck = sampleCatch(sweep.catches.length, 40, { struck: true, struckReason: 'wand moved' });
  fake.show({
    instrument: readingScale,
    sweep: { ...sweep, running: null, catches: [...sweep.catches, struck] },
  });
  await tick();
  await fireEvent.click(screen.getAllByRole('button', { name: 'Undo' })[0]!);
  expect(fake.calls.at(-1)).toEqual({ name: 'undoStrike', args: [sweep.catches.length] });
});

test('between catches the newest good one is struck out, never a void one', async () => {
  const { fake } = mountPage();
  const sweep = sampleSweep({ running: null });
  fake.show({ instrument: readingScale, sweep });
  await tick();
  await fireEvent.click(button('Strike out the last catch'));
  await fireEvent.input(screen.getByLabelText('something else'), { target: { value: 'a dog' } });
  await fireEvent.click(button('Strike it out'));
  // The last in the list is void; the one before it is the newest good one.
  expect(fake.calls.at(-1)).toEqual({ name: 'strike', args: [sweep.catches.length - 2, 'a dog'] });
});

test('an instrument that is gone is told, with what is kept and what to do', async () => {
  const { fake } = mountPage();
  const instrument = {
    ...readingScale,
    state: 'lost',
    because: 'device-lost',
    lastRefusedLine: '<b>x</b>',
  } as const;
  fake.show({
    instrument,
    sweep: sampleSweep({
      running: null,
      phase: 'waiting-for-instrument',
      prompt: { kind: 'wait-for-instrument' },
    }),
  });
  await tick();
  expect(main().textContent.replace(/\s+/g, ' ')).toContain(
    'The instrument is gone. Everything measured so far is kept. Plug it back in',
  );
  // The device's own text is text, never markup.
  expect(main().querySelector('code')?.textContent).toBe('<b>x</b>');
});

test('a finished sweep is one sentence, a table of every catch, and the parts one step deeper', async () => {
  const { fake } = mountPage();
  fake.show({ instrument: readingScale, sweep: doneSweep() });
  await tick();
  expect(screen.getByRole('heading', { level: 1 }).textContent).toMatch(
    /^Tip 7, grey gives 0\.3\d+\sgal\/min, give or take [\d.]+, at 40\spsi\.$/,
  );
  const table = screen.getAllByRole('table')[0]!;
  expect(within(table).getAllByRole('row')).toHaveLength(16);
  expect(main().textContent).toContain('An ideal tip has 0.5');
  expect(screen.getByTestId('truth').textContent).toContain('inside the ±');
});

test('the capture is exported, and another sweep leads back to the first choice', async () => {
  const { fake } = mountPage();
  fake.show({ instrument: readingScale, sweep: doneSweep() });
  await tick();
  await fireEvent.click(button('Export the capture'));
  expect(fake.names()).toContain('exportCapture');
  await fireEvent.click(button('Another sweep'));
  button(/Time by hand/);
});

test('void and struck catches are told apart from good ones in words', async () => {
  const { fake } = mountPage();
  const catches = [
    sampleCatch(0, 40),
    sampleCatch(1, 40, { voidBecause: 'lifted-while-filling', flow_m3_per_s: null }),
    sampleCatch(2, 40, { struck: true, struckReason: 'a dog' }),
    sampleCatch(3, 40, { warnings: ['short-catch'] }),
  ];
  fake.show({
    instrument: readingScale,
    sweep: { ...doneSweep(), catches, picture: null, pictureBecause: 'two-catches-only' },
  });
  await tick();
  const notes = [...main().querySelectorAll('tbody tr')]
    .slice(0, 4)
    .map((row) => row.lastElementChild!.textContent.replace(/\s+/g, ' ').trim());
  expect(notes).toEqual([
    'good Strike out',
    'void: The pail was lifted while it filled.',
    'struck out: a dog Undo',
    'doubtful: A short catch. Strike out',
  ]);
  expect(main().textContent).toContain('Two catches are too few');
});

test('any good catch of a finished sweep can be struck out from the table, with a reason', async () => {
  const { fake } = mountPage();
  fake.show({ instrument: readingScale, sweep: doneSweep() });
  await tick();
  await fireEvent.click(button('Strike out 4'));
  expect(main().textContent).toContain('40 psi, 0.34');
  await fireEvent.click(button('pail was touched'));
  expect(fake.calls.at(-1)).toEqual({ name: 'strike', args: [3, 'pail was touched'] });
});

test('changes of state reach the live region', async () => {
  const { fake } = mountPage();
  await tick();
  fake.sink?.announce({ kind: 'enough', because: 'enough' }, 1);
  await tick();
  const live = document.querySelector('[aria-live=polite]')!;
  expect(live.textContent).toBe('Enough. Shut off.');
});

test('the page’s own policy admits nothing inline, and no template has a style attribute', () => {
  const html = readFileSync('web/index.html', 'utf8');
  expect(html).toContain("default-src 'none'; script-src 'self'");
  expect(html).not.toMatch(/unsafe|<script>|style="/);
  const templates = readdirSync('web', { recursive: true, encoding: 'utf8' }).filter((name) =>
    name.endsWith('.svelte'),
  );
  expect(templates.length).toBeGreaterThan(20);
  for (const name of templates) expect(readFileSync(`web/${name}`, 'utf8'), name).not.toMatch(/\sstyle=/);
});
