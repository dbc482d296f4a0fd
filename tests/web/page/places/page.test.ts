import { readdirSync, readFileSync } from 'node:fs';
import { fireEvent, screen, waitFor, within } from '@testing-library/svelte';
import { tick } from 'svelte';
import { expect, test, vi } from 'vitest';
import type { Budget, SimulatedBenchRequest, SweepSetup } from '../../../../web/contract.ts';
import { cautionLine } from '../../../../web/wording/cautions.ts';
import { readingScale } from '../fake-bench.ts';
import { doneSweep, psi, sampleCatch, sampleSweep } from '../sample-sweep.ts';
import { mountPage } from './mounted.ts';

const button = (name: string | RegExp) => screen.getByRole<HTMLButtonElement>('button', { name });
const main = () => screen.getByRole('main');

test('the first choice names the four ways to begin, and only places that exist are offered', () => {
  mountPage();
  for (const name of [/Plug in an instrument/, /simulated bench/, /Open a capture/, /Time by hand/])
    button(name);
  const links = within(screen.getByRole('navigation')).getAllByRole('link');
  expect(links.map((link) => link.textContent)).toEqual(['Bench', 'Rack', 'Log']);
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
  const { start_s } = sweep.running!;
  fake.show({ instrument: readingScale, sweep });
  await tick();
  await fireEvent.click(button('Strike this catch out'));
  expect(document.activeElement?.textContent).toContain('The catch at 40 psi.');
  expect(fake.names()).not.toContain('strikeStarted');
  await fireEvent.click(button('wand moved'));
  const asked = { name: 'strikeStarted', args: [start_s, 'wand moved'] };
  await waitFor(() => expect(fake.calls.at(-1)).toEqual(asked));
  await waitFor(() => expect(document.activeElement).toBe(button(/^Pause/)));
  expect(screen.queryByRole('button', { name: 'Undo' })).toBeNull();
  // Its edge has moved by a little with the clock.
  const struck = sampleCatch(sweep.catches.length, 40, {
    start_s: start_s + 0.02,
    struck: true,
    struckReason: 'wand moved',
  });
  fake.show({
    instrument: readingScale,
    sweep: { ...sweep, running: null, catches: [...sweep.catches, struck] },
  });
  await tick();
  await fireEvent.click(screen.getAllByRole('button', { name: 'Undo' })[0]!);
  expect(fake.calls.at(-1)).toEqual({ name: 'undoStrike', args: [sweep.catches.length] });
});

test('the panel keeps to its catch, though that closes and the next one runs; then a reason is needed', async () => {
  const { fake } = mountPage();
  const sweep = sampleSweep();
  const { start_s } = sweep.running!;
  fake.show({ instrument: readingScale, sweep });
  await tick();
  await fireEvent.click(button('Strike this catch out'));
  const strikeOut = button('Strike it out');
  // While it runs it may go without a reason.
  expect(strikeOut.disabled).toBe(false);
  const closed = sampleCatch(sweep.catches.length, 40, { start_s });
  fake.show({
    instrument: readingScale,
    sweep: {
      ...sweep,
      settingNow_Pa: psi(30),
      running: { ...sweep.running!, start_s: start_s + 45 },
      catches: [...sweep.catches, closed],
    },
  });
  await tick();
  expect(main().textContent).toContain('The catch at 40 psi.');
  expect(strikeOut.disabled).toBe(true);
  await fireEvent.click(button('pail was touched'));
  expect(fake.calls.at(-1)).toEqual({ name: 'strikeStarted', args: [start_s, 'pail was touched'] });
});

test('a catch that closed unseen is not struck without a reason: the panel stays and asks', async () => {
  const { fake } = mountPage();
  fake.show({ instrument: readingScale, sweep: sampleSweep() });
  fake.answers.strikeStarted = { ok: false, because: 'reason-needed' };
  await tick();
  await fireEvent.click(button('Strike this catch out'));
  await fireEvent.click(button('Strike it out'));
  await screen.findByRole('alert');
  button('wand moved');
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
  const newest = sweep.catches[sweep.catches.length - 2]!;
  expect(fake.calls.at(-1)).toEqual({ name: 'strikeStarted', args: [newest.start_s, 'a dog'] });
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

test('what the ± is made of stands in one sentence, unfolds for paper, and each catch has its own', async () => {
  const { fake } = mountPage();
  const budget = (share: number, input: 'setting' | 'jet-push'): Budget => ({
    result: 'flow',
    value: 1,
    unit: 'm³/s',
    lines: [
      {
        input,
        value: null,
        unit: '1',
        standardUncertainty: share,
        distribution: 'normal',
        sensitivity: 1,
        degreesOfFreedom: 1e6,
        scope: 'own',
        contribution: share,
        included: true,
      },
    ],
    ownStandardUncertainty: share,
    sharedStandardUncertainty: 0,
    standardUncertainty: share,
    degreesOfFreedom: 1e6,
    coverageFactor: 2,
    expandedUncertainty95: 2 * share,
    helps: [],
  });
  const done = doneSweep();
  const catches = done.catches.map(() => budget(0.002, 'jet-push'));
  const budgets = { catches, nozzleConstant: budget(0.005, 'setting'), ratioToRated: null };
  fake.show({ instrument: readingScale, sweep: { ...done, budgets } });
  await tick();
  expect(screen.getByTestId('biggest').textContent.replaceAll('\u00a0', ' ')).toContain(
    'Give or take 1 % in all. Biggest part: how well the dial comes back (± 1 %).',
  );
  const details = screen.getByText('How sure, and why').closest('details')!;
  expect(details.open).toBe(false);
  await fireEvent(window, new Event('beforeprint'));
  expect(details.open).toBe(true);
  await fireEvent(window, new Event('afterprint'));
  expect(details.open).toBe(false);
  await fireEvent.change(screen.getByLabelText('What is in the ± of'), { target: { value: '3' } });
  expect(within(details).getByRole('table').textContent).toContain('the push of the jet');
  button('Save this budget');
  button('Save it as a table');

  // Without a curve (a can that runs down has none) the ± in sight is that of a catch, and says of which.
  fake.show({
    instrument: readingScale,
    sweep: { ...done, picture: null, budgets: { ...budgets, nozzleConstant: null } },
  });
  await tick();
  expect(screen.getByTestId('biggest').textContent).toMatch(/How sure, of catch 1:/);
});

test('the options close when the place changes and when a sweep begins', async () => {
  const { fake, route } = mountPage();
  const options = () => button('Options: units, light, sound, wear');
  const isOpen = () => options().getAttribute('aria-expanded');
  await fireEvent.click(options());
  expect(isOpen()).toBe('true');
  await fireEvent.click(button(/Run the simulated bench/));
  expect(isOpen()).toBe('false');
  await fireEvent.click(options());
  fake.show({ instrument: readingScale, sweep: sampleSweep() });
  await tick();
  expect(isOpen()).toBe('false');
  await fireEvent.click(options());
  fake.show({ instrument: readingScale, sweep: sampleSweep({ phase: 'settling' }) });
  await tick();
  expect(isOpen()).toBe('true');
  route.place = 'log';
  await tick();
  expect(isOpen()).toBe('false');
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
  expect(fake.calls.find(({ name }) => name === 'strike')?.args).toEqual([3, 'pail was touched']);
});

test('a strike at the result stays at the result, though the worker plans on; one button measures one more', async () => {
  const { fake, told } = mountPage();
  const done = doneSweep();
  fake.show({ instrument: readingScale, sweep: done });
  await tick();
  await fireEvent.click(button('Strike out 4'));
  await fireEvent.click(button('pail was touched'));
  await waitFor(() => expect(fake.names()).toContain('pause'));
  const catches = done.catches.map((one) =>
    one.index === 3 ? { ...one, struck: true, struckReason: 'pail was touched' } : one,
  );
  const plan = done.plan.map((one) => (one.setting_Pa === psi(40) ? { ...one, done: 2 } : one));
  const asking = {
    kind: 'set-and-spray',
    setting_Pa: psi(40),
    turnAwayFirst: true,
    sameAgain: false,
  } as const;
  fake.show({
    instrument: readingScale,
    sweep: { ...done, phase: 'setting', prompt: asking, catches, plan },
  });
  fake.sink?.announce(asking, 1);
  fake.show({
    instrument: readingScale,
    sweep: { ...done, phase: 'paused', prompt: { kind: 'paused' }, catches, plan },
  });
  await tick();
  expect(main().textContent).toContain('struck out: pail was touched');
  expect(document.activeElement).toBe(button('Measure one more'));
  expect(told).not.toContain('set-and-spray');
  await fireEvent.click(button('Measure one more'));
  expect(fake.calls.at(-1)!.name).toBe('goOn');
  await screen.findByRole('button', { name: /^Go on/ });
});

test('undone at the result the plan is whole again, and the sweep finishes as it was', async () => {
  const { fake } = mountPage();
  fake.show({ instrument: readingScale, sweep: doneSweep() });
  await tick();
  fake.show({ instrument: readingScale, sweep: { ...doneSweep(), phase: 'paused' } });
  await waitFor(() => expect(fake.names()).toContain('goOn'));
  expect(screen.queryByRole('button', { name: /Measure/ })).toBeNull();
});

test('an undo at the result gives the focus back to the sentence', async () => {
  const { fake } = mountPage();
  const done = doneSweep();
  const catches = done.catches.map((one) => (one.index === 3 ? { ...one, struck: true } : one));
  fake.show({ instrument: readingScale, sweep: { ...done, catches } });
  await tick();
  const undo = button('Undo');
  undo.focus();
  await fireEvent.click(undo);
  await waitFor(() => expect(document.activeElement).toBe(screen.getByRole('heading', { level: 1 })));
  expect(fake.names()).toContain('undoStrike');
});

test('leaving a result that waits for one more ends the sweep first', async () => {
  const { fake } = mountPage();
  const done = doneSweep();
  fake.show({ instrument: readingScale, sweep: done });
  const plan = done.plan.map((one) => ({ ...one, done: 2 }));
  fake.show({ instrument: readingScale, sweep: { ...done, phase: 'paused', plan } });
  await tick();
  await fireEvent.click(button('Another sweep'));
  await waitFor(() => expect(fake.names()).toEqual(expect.arrayContaining(['endSweep', 'closeInstrument'])));
  button(/Time by hand/);
});

test('a new screen begins at its top, with the focus where the next act is', async () => {
  const { fake } = mountPage();
  const scrolled: number[] = [];
  vi.spyOn(window, 'scrollTo').mockImplementation(
    (...args: unknown[]) => void scrolled.push(args[1] as number),
  );
  fake.show({ instrument: readingScale, sweep: sampleSweep() });
  await tick();
  expect(document.activeElement).toBe(button(/^Pause/));
  expect(scrolled).toEqual([0]);
  await fireEvent.click(button('End the sweep here'));
  expect(document.activeElement?.textContent).toContain('End it now?');
  await fireEvent.click(button('Go on measuring'));
  expect(document.activeElement).toBe(button(/^Pause/));
  fake.show({ instrument: readingScale, sweep: doneSweep() });
  await tick();
  expect(document.activeElement).toBe(screen.getByRole('heading', { level: 1 }));
  expect(scrolled).toEqual([0, 0]);
});

test('the set-up’s fold opens on a refusal and stays open while the mistake is put right', async () => {
  mountPage();
  await fireEvent.click(button(/simulated bench/));
  const fold = main().querySelector('details')!;
  const settings = screen.getByLabelText('Pressure settings');
  await fireEvent.input(settings, { target: { value: '20 x' } });
  await fireEvent.click(button('Go'));
  expect(fold.open).toBe(true);
  await fireEvent.input(settings, { target: { value: '20 30' } });
  expect(settings.getAttribute('aria-invalid')).toBeNull();
  expect(fold.open).toBe(true);
});

test('the own tip and rig are filled in the next time', async () => {
  const map = new Map<string, string>();
  const store = {
    getItem: (key: string) => map.get(key) ?? null,
    setItem: (key: string, text: string) => void map.set(key, text),
  };
  mountPage(store);
  await fireEvent.click(button(/Time by hand/));
  await fireEvent.input(screen.getByLabelText('Name of the tip'), { target: { value: 'Tip 7' } });
  await fireEvent.input(screen.getByLabelText('Name of the sprayer'), { target: { value: 'knapsack' } });
  await fireEvent.click(button('To the stopwatch'));
  mountPage(store);
  await fireEvent.click(button(/Time by hand/));
  expect(screen.getByLabelText<HTMLInputElement>('Name of the tip').value).toBe('Tip 7');
  expect(screen.getByLabelText<HTMLInputElement>('Name of the sprayer').value).toBe('knapsack');
});

test('a list of settings is typed with a keyboard that has a space', async () => {
  mountPage();
  await fireEvent.click(button(/simulated bench/));
  expect(screen.getByLabelText('Pressure settings').getAttribute('inputmode')).toBe('text');
  expect(screen.getByLabelText('Rated flow').getAttribute('inputmode')).toBe('decimal');
});

test('a pail too small is said with what to do: go on after a change, or end', async () => {
  const { fake } = mountPage();
  const small = { kind: 'pail-too-small', setting_Pa: psi(60) } as const;
  fake.show({
    instrument: readingScale,
    sweep: sampleSweep({ phase: 'paused', prompt: small, nextPrompt: null, running: null }),
  });
  await tick();
  expect(screen.getByRole('heading', { level: 1 }).textContent).toContain('60\u00a0psi');
  expect(main().textContent).toContain('smaller pail or another scale');
  button(/^Go on/);
  await fireEvent.click(button('End the sweep here'));
  await fireEvent.click(button('End it'));
  expect(fake.names()).toContain('endSweep');
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
