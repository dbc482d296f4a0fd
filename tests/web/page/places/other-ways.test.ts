import { fireEvent, screen, waitFor, within } from '@testing-library/svelte';
import { expect, test } from 'vitest';
import { psi } from '../sample-sweep.ts';
import { mountPage } from './mounted.ts';

const button = (name: string | RegExp) => screen.getByRole('button', { name });
const main = () => screen.getByRole('main');

test('the units change everywhere, and what was typed with them', async () => {
  mountPage();
  await fireEvent.click(button(/Time by hand/));
  await fireEvent.click(button(/^Options/));
  await fireEvent.click(screen.getByLabelText('bar, L/min'));
  expect(screen.getByLabelText<HTMLInputElement>('Pressure settings').value).toBe('1.5 2 2.5 3 4');
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
