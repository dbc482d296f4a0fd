import { fireEvent, screen, waitFor } from '@testing-library/svelte';
import { expect, test } from 'vitest';
import type { BenchView, RigCheckView } from '../../../../web/contract.ts';
import { readingScale } from '../fake-bench.ts';
import { sampleDiagnosis } from '../sample-rack.ts';
import { doneSweep, psi } from '../sample-sweep.ts';
import { mountPage } from './mounted.ts';

const button = (name: string | RegExp) => screen.getByRole('button', { name });
const main = () => screen.getByRole('main');
const type = (label: string, value: string) =>
  fireEvent.input(screen.getByLabelText(label), { target: { value } });
const view = (more: Partial<BenchView> = {}): BenchView => ({
  instrument: readingScale,
  sweep: null,
  ...more,
});

const running: RigCheckView = {
  kind: 'dial-at-zero',
  prompt: { kind: 'read-dial' },
  asks: 'dial',
  flow_m3_per_s: null,
  progress: 0.6,
  secondsLeft: null,
  found: [],
  warnings: [],
  isOver: false,
  failed: null,
  rigName: 'green knapsack',
  sweepId: null,
  notKept: null,
};

/** At the choice of checks, from the simulated set-up. */
async function atRigChecks() {
  const page = mountPage();
  await fireEvent.click(button(/Run the simulated bench/));
  await fireEvent.click(button('Check the rig'));
  page.fake.show(view());
  await screen.findByRole('heading', { name: /Check the rig/ });
  return page;
}

test('from the set-up the simulated bench is opened, and Go would measure with the same one', async () => {
  const { fake } = await atRigChecks();
  const { args } = fake.calls.find(({ name }) => name === 'openSimulated')!;
  expect(args[0]).not.toHaveProperty('toBeChecked');
  await fireEvent.click(button('Begin'));
  await waitFor(() => expect(fake.names()).toContain('startRigCheck'));
  expect(fake.calls.at(-1)!.args).toEqual([
    { kind: 'dial-at-zero', rigName: 'Invented sprayer', standsOnScale: 'pail', division_Pa: null },
    null,
  ]);
  // The simulated check is slowed: at twenty times real time nobody could read it.
  expect(fake.calls.filter(({ name }) => name === 'setSpeed').at(-1)?.args).toEqual([5]);
});

test('a blank tip can be begun only when pump and rating are told, and its cautions stand there', async () => {
  const { fake } = await atRigChecks();
  await fireEvent.click(screen.getByLabelText('a blank tip'));
  for (const words of [/Nobody in line/, /bypass or pressure switch/, /before the tip is changed/])
    expect(main().textContent).toMatch(words);
  expect(button('Begin').hasAttribute('disabled')).toBe(true);
  await fireEvent.click(screen.getByLabelText('yes'));
  await fireEvent.click(button('Begin'));
  expect(main().textContent).toContain('Fill this in');
  expect(fake.names()).not.toContain('startRigCheck');
  await type('The weakest part is rated for', '100');
  await type('Pressure on the dial', '40');
  await fireEvent.click(button('Begin'));
  await waitFor(() => expect(fake.names()).toContain('startRigCheck'));
  const [request] = fake.calls.at(-1)!.args as [{ weakestRating_Pa: number; pumpHasBypass: boolean }];
  expect(request.weakestRating_Pa).toBeCloseTo(psi(100), 3);
  expect(request).toMatchObject({ kind: 'blank-tip', pumpHasBypass: true });
});

test('what the worker refuses is told in words', async () => {
  const { fake } = await atRigChecks();
  fake.answers.startRigCheck = { ok: false, because: 'blank-above-rating' };
  await fireEvent.click(screen.getByLabelText('a blank tip'));
  await fireEvent.click(screen.getByLabelText('yes'));
  await type('The weakest part is rated for', '30');
  await fireEvent.click(button('Begin'));
  expect((await screen.findByRole('alert')).textContent).toContain(
    'not well below the rating of the weakest part',
  );
});

test('the number that eyes read is typed in the person’s units and told in SI', async () => {
  const { fake } = await atRigChecks();
  fake.show(view({ rigCheck: running }));
  expect((await screen.findByTestId('rig-check-line')).textContent).toContain('what does the dial show');
  await fireEvent.click(button('Take this number'));
  expect(main().textContent).toContain('Fill this in');
  await type('The dial shows', '4');
  await fireEvent.click(button('Take this number'));
  await waitFor(() => expect(fake.names()).toContain('answerRigCheck'));
  expect(fake.calls.at(-1)!.args[0]).toBeCloseTo(psi(4), 6);
});

test('with both hands at the wand any key says that the blank is in; but none says that the dial goes no lower', async () => {
  const { fake } = await atRigChecks();
  const blank = {
    ...running,
    kind: 'blank-tip',
    prompt: { kind: 'fit-blank' },
    asks: 'blank-is-in',
  } as const;
  fake.show(view({ rigCheck: blank }));
  await screen.findByRole('button', { name: 'The blank is in' });
  await fireEvent.keyDown(document.body, { key: ' ' });
  await waitFor(() => expect(fake.names()).toContain('answerRigCheck'));
  expect(fake.calls.at(-1)!.args).toEqual([null]);
  const before = fake.calls.length;
  const prompt = { kind: 'turn-while-spraying', setting_Pa: psi(10), again: false } as const;
  fake.show(view({ rigCheck: { ...running, kind: 'flow-stops-at', prompt, asks: 'goes-no-lower' } }));
  expect((await screen.findByTestId('rig-check-line')).textContent).toContain('Turn down to 10 psi');
  await fireEvent.keyDown(document.body, { key: ' ' });
  expect(fake.calls).toHaveLength(before);
  await fireEvent.click(button('It goes no lower'));
  expect(fake.calls.at(-1)!.name).toBe('answerRigCheck');
});

test('the cautions of a gauge at the wand stand where it is chosen, and a key says that it is on', async () => {
  const { fake } = await atRigChecks();
  await fireEvent.click(screen.getByLabelText('a gauge at the wand'));
  for (const words of [/pressure at zero before the gauge goes on/, /beyond the highest setting/])
    expect(main().textContent).toMatch(words);
  const prompt = { kind: 'fit-gauge', highest_Pa: psi(60) } as const;
  fake.show(view({ rigCheck: { ...running, kind: 'wand-gauge', prompt, asks: 'gauge-is-on' } }));
  expect((await screen.findByTestId('rig-check-line')).textContent).toMatch(
    /^Pump off, trigger open, pressure at zero\. Then put the gauge on; it must read beyond 60 psi/,
  );
  await fireEvent.keyDown(document.body, { key: ' ' });
  await waitFor(() => expect(fake.calls.at(-1)).toMatchObject({ name: 'answerRigCheck', args: [null] }));
});

test('stopped, what has to be undone is shown first and alone until the person says that it is done', async () => {
  const { fake } = await atRigChecks();
  const watching = { ...running, kind: 'blank-tip', prompt: { kind: 'watch-drip' }, asks: null } as const;
  fake.show(view({ rigCheck: watching }));
  await fireEvent.click(await screen.findByRole('button', { name: 'Stop the check' }));
  await waitFor(() => expect(fake.names()).toContain('stopRigCheck'));
  expect(fake.names()).not.toContain('dismissRigCheck');
  const prompt = { kind: 'rig-check-failed', because: 'rig-check-stopped', leaves: 'blank' } as const;
  fake.show(
    view({ rigCheck: { ...watching, prompt, isOver: true, failed: { ok: false, because: prompt.because } } }),
  );
  expect((await screen.findByTestId('rig-check-left')).textContent).toContain(
    'Pump off, trigger open, pressure at zero; then the tip back in its place.',
  );
  expect(main().textContent).toContain('What was found before stands.');
  expect(screen.queryByRole('button', { name: 'Another check' })).toBeNull();
  await fireEvent.click(button('Done, it is safe'));
  expect(fake.names()).not.toContain('dismissRigCheck');
  await fireEvent.click(button('Another check'));
  await waitFor(() => expect(fake.names()).toContain('dismissRigCheck'));
});

test('over, it says what was found, what it means, where it goes, and what has to be undone', async () => {
  const { fake } = await atRigChecks();
  const over: RigCheckView = {
    ...running,
    kind: 'blank-tip',
    prompt: { kind: 'rig-check-done', leaves: 'blank' },
    asks: null,
    isOver: true,
    found: [
      {
        kind: 'blank-tip',
        leak_m3_per_s: 1.25e-6,
        standardUncertainty_m3_per_s: 5e-8,
        pressure_Pa: psi(40),
      },
    ],
  };
  fake.show(view({ rigCheck: over }));
  // 1.25 mL/s are 75 mL or 2.54 fl oz a minute (arithmetic).
  expect((await screen.findByTestId('rig-check-found')).textContent).toMatch(/at 40 psi, 2\.5\d? fl oz\/min/);
  for (const words of [/look at the seal/, /pressure at zero; then the tip back/, /next sweeps of this rig/])
    expect(main().textContent).toMatch(words);
  await fireEvent.click(button('Back'));
  await waitFor(() => expect(fake.names()).toContain('dismissRigCheck'));
});

test('the test that would settle a finding opens its check', async () => {
  const { fake } = mountPage();
  fake.show(
    view({
      sweep: {
        ...doneSweep(),
        diagnosis: sampleDiagnosis({ said: 'leaking', settledBy: ['blank-tip', 'second-sweep'] }),
      },
    }),
  );
  await fireEvent.click(await screen.findByRole('button', { name: 'A blank tip under pressure' }));
  await screen.findByRole('heading', { name: /Check the rig/ });
  expect(screen.getByLabelText<HTMLInputElement>('a blank tip').checked).toBe(true);
});

test('from a result it belongs to that sweep and its rig', async () => {
  const { fake } = mountPage();
  await fireEvent.click(button(/Run the simulated bench/));
  await fireEvent.click(button('Go'));
  await waitFor(() => expect(fake.names()).toContain('startSweep'));
  const sweep = doneSweep();
  fake.show(view({ sweep }));
  await waitFor(() => expect(screen.queryByRole('button', { name: 'Go' })).toBeNull());
  await fireEvent.click(await screen.findByRole('button', { name: 'Check the rig' }));
  await screen.findByRole('heading', { name: /Check the rig/ });
  await fireEvent.click(screen.getByLabelText('where the flow stops'));
  await fireEvent.click(button('Begin'));
  await waitFor(() => expect(fake.names()).toContain('startRigCheck'));
  const [request, sweepId] = fake.calls.at(-1)!.args as [{ rigName: string; marks_Pa: number[] }, string];
  expect(sweepId).toBe(sweep.sweepId);
  expect(request.rigName).toBe(sweep.setup.rig.name);
  expect(request.marks_Pa[0]).toBeCloseTo(psi(20), 6);
  expect(request.marks_Pa.every((mark, i) => i === 0 || mark < request.marks_Pa[i - 1]!)).toBe(true);
});
