import { fireEvent, screen, waitFor, within } from '@testing-library/svelte';
import { expect, test } from 'vitest';
import type { Analysis } from '../../../../web/contract.ts';
import { doneSweep, psi, SAMPLE_K, sampleSetup } from '../sample-sweep.ts';
import { mountPage } from './mounted.ts';

const button = (name: string | RegExp) => screen.getByRole('button', { name });
const main = () => screen.getByRole('main');

test('the units change everywhere, and what was typed with them', async () => {
  mountPage();
  await fireEvent.click(button(/Time by hand/));
  await fireEvent.click(button(/^Options/));
  await fireEvent.click(screen.getByLabelText('bar, L/min'));
  expect(screen.getByLabelText<HTMLInputElement>('Pressure settings').value).toBe(
    '1.379 2.068 2.758 3.447 4.137',
  );
  await fireEvent.click(screen.getByLabelText('Sun'));
  expect(document.documentElement.dataset['theme']).toBe('sun');
});

test('by hand: space, space, the pail read, and the catch stands in the table', async () => {
  const { fake } = mountPage();
  await fireEvent.click(button(/Time by hand/));
  await fireEvent.input(screen.getByLabelText('Name of the tip'), { target: { value: 'Tip 7' } });
  await fireEvent.input(screen.getByLabelText('Name of the sprayer'), { target: { value: 'knapsack' } });
  await fireEvent.click(button('To the stopwatch'));
  await fireEvent.keyDown(document.body, { key: ' ' });
  button(/Stop/);
  await new Promise((resolve) => setTimeout(resolve, 20));
  await fireEvent.keyDown(document.body, { key: ' ' });
  expect(main().textContent).toContain('under the bubbles');
  const volume = screen.getByLabelText('Volume in the pail');
  expect(document.activeElement).toBe(volume);
  await fireEvent.click(button('Discard'));
  await fireEvent.click(button('Undo'));
  const field = () => screen.getByLabelText('Volume in the pail');
  await fireEvent.input(field(), { target: { value: '9000' } });
  await fireEvent.click(button('Keep this catch'));
  expect(field().getAttribute('aria-invalid')).toBe('true');
  await fireEvent.input(field(), { target: { value: '26,5' } });
  await fireEvent.click(button('Keep this catch'));
  await waitFor(() => expect(fake.names()).toContain('analyseByHand'));
  const kept = fake.calls.find(({ name }) => name === 'analyseByHand')!.args[1] as readonly {
    setting_Pa: number;
    duration_s: number;
    volume_m3: number;
  }[];
  expect(kept[0]!.setting_Pa).toBe(psi(20));
  expect(kept[0]!.duration_s).toBeGreaterThan(0.01);
  // Kept at once, without a button; a catch this short is marked.
  expect(fake.calls.find(({ name }) => name === 'keepByHand')!.args.slice(1)).toEqual([kept, null]);
  await screen.findByText('Kept in the Log.');
  screen.getByText('short: doubtful');
  await fireEvent.click(button('Strike out'));
  await waitFor(() =>
    expect(
      fake.calls
        .filter(({ name }) => name === 'keepByHand')
        .at(-1)!
        .args.slice(1),
    ).toEqual([[], { sweepId: 'hand-1', recordId: 'r-1' }]),
  );
  await fireEvent.click(button('Undo'));
  await waitFor(() =>
    expect(fake.calls.filter(({ name }) => name === 'keepByHand').at(-1)!.args[1]).toEqual(kept),
  );
  // 26.5 US fluid ounces (arithmetic: 1 gal = 3.785411784 L exactly, 128 fl oz).
  expect(kept[0]!.volume_m3).toBeCloseTo((26.5 * 3.785411784e-3) / 128, 12);
});

test('without Web Serial the page says what works instead', async () => {
  mountPage();
  await fireEvent.click(button(/Plug in/));
  expect(screen.getByRole('alert').textContent).toContain(
    'The simulated bench, captures and timing by hand work here',
  );
});

test('a file that is no capture is refused in words, and the page stays as it was', async () => {
  const { fake } = mountPage();
  await fireEvent.click(button(/Open a capture/));
  const input = main().querySelector('input[type=file]')!;
  await fireEvent.change(input, { target: { files: [new File(['hello'], 'notes.txt')] } });
  expect((await screen.findByRole('alert')).textContent).toContain('not a capture of ours');
  expect(fake.calls.at(-1)!.args[0]).toBe('notes.txt');
});

test('the log lists kept sweeps, newest first, and an unfinished simulated one can go on', async () => {
  const { fake, route } = mountPage();
  const kept = {
    timeZone: 'Europe/Berlin',
    rigName: 'knapsack',
    timedByHand: false,
    catches: 3,
    nozzleConstant_m3_per_s_per_sqrtPa: null,
    nozzleConstantExpanded95_m3_per_s_per_sqrtPa: null,
    toldPressure_Pa: null,
  };
  fake.answers.listSweeps = {
    ok: true,
    value: [
      { ...kept, sweepId: 'old', startedAt_ms: 1, tipName: 'Old tip', simulated: false, finished: true },
      { ...kept, sweepId: 'new', startedAt_ms: 2, tipName: 'New tip', simulated: true, finished: false },
    ],
  };
  route.place = 'log';
  await screen.findByText('New tip');
  const entries = within(main()).getAllByRole('listitem');
  expect(entries.map((entry) => entry.querySelector('.name')!.textContent.split(' ·')[0]!.trim())).toEqual([
    'New tip',
    'Old tip',
  ]);
  await fireEvent.click(button('Go on'));
  await waitFor(() => expect(fake.calls.at(-1)).toEqual({ name: 'resumeSweep', args: ['new'] }));
});

const keptSweep = {
  startedAt_ms: Date.UTC(2026, 4, 4, 9, 12),
  timeZone: 'America/Chicago',
  rigName: 'green knapsack',
  simulated: false,
  timedByHand: false,
  finished: true,
  catches: 3,
  nozzleConstant_m3_per_s_per_sqrtPa: SAMPLE_K,
  nozzleConstantExpanded95_m3_per_s_per_sqrtPa: SAMPLE_K * 0.014,
  toldPressure_Pa: psi(40),
} as const;

function keptFile(time_s: number[]) {
  const sweep = doneSweep();
  const analysis: Analysis = {
    format: 'catchbench-analysis 1',
    file: 'kept',
    estimatorVersion: '1',
    simulated: false,
    readings: 10,
    linesRefused: 7,
    gaps: 0,
    duration_s: 100,
    clockRatio: null,
    clockRatioStandardUncertainty: null,
    warnings: ['lines-refused', 'water-temperature-assumed'],
    catches: sweep.catches.map((one) => ({ ...one, warnings: ['coarse-steps'] })),
    withdrawn: [],
    curve: sweep.picture!.curve,
    curveBecause: null,
    finding: null,
    findingBecause: 'not-yet-supported',
  };
  const trace = {
    restart: true,
    time_s: Float64Array.from(time_s),
    mass_kg: Float64Array.from(time_s),
  };
  const budgets = { catches: [], nozzleConstant: null, ratioToRated: null };
  return { tipName: 'Tip 7', analysis, picture: sweep.picture, budgets, trace, setup: sampleSetup };
}

test('the Log shows a flow at a pressure, puts empty sweeps away, and opens an entry at an address of its own', async () => {
  const { fake, route } = mountPage();
  fake.answers.listSweeps = {
    ok: true,
    value: [
      { ...keptSweep, sweepId: 'full', tipName: 'Full tip', finished: false },
      { ...keptSweep, sweepId: 'bare', tipName: 'Bare tip', catches: 0 },
    ],
  };
  fake.answers.openSweep = { ok: true, value: keptFile([]) };
  route.place = 'log';
  await screen.findByText('Full tip');
  expect(main().textContent).toContain('0.340 gal/min, give or take 0.005, at 40 psi');
  expect(screen.queryByText('Bare tip')).toBeNull();
  await fireEvent.click(button('Show empty ones (1)'));
  screen.getByText('Bare tip');

  expect(screen.getByRole('link', { name: /^Open: Full tip/ }).getAttribute('href')).toBe('#/log/full');
  window.location.hash = '#/log/full';
  await screen.findByTestId('about');
  expect(screen.getByTestId('about').textContent).toMatch(
    /2026.* · green knapsack · water 64\.4 °F · timed by an instrument$/,
  );
  // What was kept without readings over time has no empty picture of them.
  expect(screen.queryByText('The pail over time')).toBeNull();
  expect(screen.getByTestId('doubtful').textContent).toContain('15 of 15 catches doubtful');
  expect(screen.getByTestId('trust').textContent).toContain('7 lines could not be read');
  expect(main().textContent).toContain('To go on, the instrument has to be open');
  // The browser's Back leads to the list.
  window.location.hash = '#/log';
  await screen.findByText('Full tip');
  expect(screen.queryByTestId('about')).toBeNull();
});

test('an unfinished simulated sweep that is open can go on from there', async () => {
  const { fake } = mountPage();
  fake.answers.listSweeps = {
    ok: true,
    value: [{ ...keptSweep, sweepId: 'half', tipName: 'Half tip', simulated: true, finished: false }],
  };
  fake.answers.openSweep = { ok: true, value: keptFile([0, 1]) };
  window.location.hash = '#/log/half';
  await screen.findByTestId('about');
  screen.getByText('The pail over time');
  await fireEvent.click(button('Go on'));
  await waitFor(() => expect(fake.calls.at(-1)).toEqual({ name: 'resumeSweep', args: ['half'] }));
});

test('an address of a sweep that is not there is said', async () => {
  mountPage();
  window.location.hash = '#/log/gone';
  expect((await screen.findByRole('alert')).textContent).toContain('not there any more');
});

test('what was told on a screen that was left is not told again', async () => {
  const { bench, route } = mountPage();
  bench.live.tell('Kept.');
  route.place = 'log';
  await waitFor(() => expect(bench.live.text).toBe(''));
});

test('the browser’s list of instruments: said while it is open, and a sentence when nothing was picked', async () => {
  let close: (reason: unknown) => void = () => undefined;
  const serial = { requestPort: () => new Promise((_, reject) => (close = reject)), getPorts: () => [] };
  Object.defineProperty(navigator, 'serial', { value: serial, configurable: true });
  try {
    mountPage();
    await fireEvent.click(button(/Plug in/));
    await fireEvent.click(button('Pick it and open it'));
    await screen.findByText(/pick the instrument there/);
    close(new DOMException('No port selected by the user.', 'NotFoundError'));
    expect((await screen.findByRole('alert')).textContent).toContain('No instrument was picked');
    screen.getByText('Nothing was picked. Plug it in, and press again.');
  } finally {
    Reflect.deleteProperty(navigator, 'serial');
  }
});

test('a volume that was typed stays the same volume in other units', async () => {
  mountPage();
  await fireEvent.click(button(/Time by hand/));
  await fireEvent.input(screen.getByLabelText('Name of the tip'), { target: { value: 'Tip 7' } });
  await fireEvent.input(screen.getByLabelText('Name of the sprayer'), { target: { value: 'knapsack' } });
  await fireEvent.click(button('To the stopwatch'));
  await fireEvent.keyDown(document.body, { key: ' ' });
  await fireEvent.keyDown(document.body, { key: ' ' });
  await fireEvent.input(screen.getByLabelText('Volume in the pail'), { target: { value: '20' } });
  await fireEvent.click(button(/^Options/));
  await fireEvent.click(screen.getByLabelText('bar, L/min'));
  // 20 US fluid ounces are 591.47 mL (arithmetic).
  expect(screen.getByLabelText<HTMLInputElement>('Volume in the pail').value).toBe('591.5');
});

test('paper is day, whatever light the screen has, and the screen has its own again after', async () => {
  const { preferences } = mountPage();
  preferences.change({ theme: 'night' });
  const light = () => document.documentElement.dataset['theme'];
  await waitFor(() => expect(light()).toBe('night'));
  window.dispatchEvent(new Event('beforeprint'));
  // At once: the printer does not wait.
  expect(light()).toBe('day');
  window.dispatchEvent(new Event('afterprint'));
  await waitFor(() => expect(light()).toBe('night'));
  expect(preferences.theme).toBe('night');
});
