import { fireEvent, screen, waitFor } from '@testing-library/svelte';
import { expect, test } from 'vitest';
import type { BenchView, CheckView, ChecksInForce } from '../../../../web/contract.ts';
import { readingScale } from '../fake-bench.ts';
import { doneSweep } from '../sample-sweep.ts';
import { mountPage } from './mounted.ts';

const button = (name: string | RegExp) => screen.getByRole('button', { name });
const main = () => screen.getByRole('main');

const found: Extract<NonNullable<CheckView['result']>, { kind: 'scale' }> = {
  kind: 'scale',
  from: 'mass-pieces',
  factor: 1.0038,
  relativeStandardUncertainty: 1.4e-4,
  ownRelativeStandardUncertainty: 1e-4,
  relativeExpandedUncertainty95: 3e-4,
  degreesOfFreedom: 20,
  verdict: 'off',
  error_kg: -0.019,
  loads: [{ reference_kg: 5, shown_kg: 4.981, residual_kg: 0, standardUncertainty_kg: 5e-4 }],
  straightness: null,
  zeroReturn_kg: 0,
  explainingTilt_deg: 5,
  step_kg: 1e-3,
  warnings: ['scale-off', 'scale-perhaps-tilted'],
  drift: null,
};
const running: CheckView = {
  kind: 'scale',
  prompt: { kind: 'put-on', amount: { kind: 'mass', mass_kg: 5 }, nth: 1, of: 1 },
  shown: 0.2,
  progress: 0,
  secondsLeft: null,
  trouble: null,
  result: null,
  failed: null,
  sweepId: null,
  decisions: [],
  decided: null,
  notKept: null,
};
const over: CheckView = {
  ...running,
  prompt: { kind: 'check-done' },
  result: found,
  decisions: ['correct', 'leave', 'refuse'],
};
const none: ChecksInForce = { scale: null, meter: null, clock: null, pressure: null };
const view = (more: Partial<BenchView> = {}): BenchView => ({
  instrument: readingScale,
  sweep: null,
  ...more,
});

async function atChecks() {
  const page = mountPage();
  await fireEvent.click(button(/Run the simulated bench/));
  await fireEvent.click(button('Check the scale first'));
  page.fake.show(view());
  await screen.findByRole('heading', { name: 'Check the instrument' });
  await fireEvent.click(button(/^Options/));
  await fireEvent.click(screen.getByLabelText('bar, L/min'));
  return page;
}

const type = (label: string, value: string) =>
  fireEvent.input(screen.getByLabelText(label), { target: { value } });

test('from the simulated bench a slightly wrong scale is opened, and the typed weights are asked of the worker in SI', async () => {
  const { fake } = await atChecks();
  expect(fake.calls.find(({ name }) => name === 'openSimulated')!.args[0]).toMatchObject({
    toBeChecked: true,
  });
  await type('Weights, from light to heavy', '2 5');
  await type('The scale bears up to', '20');
  await fireEvent.click(button('Check the scale'));
  await waitFor(() => expect(fake.names()).toContain('startCheck'));
  expect(fake.calls.at(-1)!.args).toEqual([
    {
      kind: 'scale',
      limit_kg: 20,
      references: [
        { kind: 'mass-pieces', mass_kg: 2, standardUncertainty_kg: 0.001 },
        { kind: 'mass-pieces', mass_kg: 5, standardUncertainty_kg: 0.0025 },
      ],
    },
    null,
  ]);
});

test.each([
  ['', 'Fill this in'],
  ['five', 'is not a number'],
  ['1 2 3 4', 'At most three'],
  ['5 2', 'From light to heavy'],
])('weights typed as “%s” are answered by the field: %s', async (typed, said) => {
  const { fake } = await atChecks();
  await type('Weights, from light to heavy', typed);
  await fireEvent.click(button('Check the scale'));
  expect(main().textContent).toContain(said);
  expect(fake.names()).not.toContain('startCheck');
});

test('what only the worker can judge is told in its words: 500 lb, a gram, no temperature', async () => {
  const { fake } = await atChecks();
  fake.answers.startCheck = { ok: false, because: 'check-mass-too-big', facts: { limit_kg: 100 } };
  await type('Weights, from light to heavy', '226.8');
  await fireEvent.click(button('Check the scale'));
  expect((await screen.findByRole('alert')).textContent).toContain('more than this scale bears');
});

test('a volume of water asks for its temperature and sends it in °C', async () => {
  const { fake } = await atChecks();
  await fireEvent.click(screen.getByLabelText('a volume of water'));
  expect(screen.getByLabelText<HTMLInputElement>('Known to ±').value).toBe('0.5');
  await type('Volumes, from small to large', '5');
  await type('Water temperature', '18');
  await fireEvent.click(button('Check the scale'));
  await waitFor(() => expect(fake.names()).toContain('startCheck'));
  expect(fake.calls.at(-1)!.args[0]).toMatchObject({
    references: [{ kind: 'water-volume', volume_m3: 0.005, temperature_degC: 18 }],
  });
});

test('while it runs there is one number, one line, and one button that stops it', async () => {
  const { fake, awake } = await atChecks();
  fake.show(view({ check: running }));
  expect((await screen.findByTestId('check-line')).textContent).toBe('Now put 5 kg on.');
  expect(screen.getByTestId('big-number').textContent).toContain('0.200');
  expect(screen.getAllByRole('button').filter((one) => main().contains(one))).toHaveLength(1);
  await waitFor(() => expect(awake.at(-1)).toBe(true));
  fake.show(
    view({
      check: { ...running, prompt: { kind: 'wait', for: 'load' }, secondsLeft: 7, trouble: 'wind-or-touch' },
    }),
  );
  await waitFor(() => expect(screen.getByTestId('big-number').textContent).toContain('7'));
  expect(main().textContent).toContain('Shelter the pail');
  await fireEvent.click(button('Stop the check'));
  await waitFor(() => expect(fake.names()).toContain('dismissCheck'));
});

test('what came out is told in percent with its ±, the tilt is named, and the person decides', async () => {
  const { fake } = await atChecks();
  fake.show(view({ check: over, checks: none }));
  await screen.findByText('The scale reads low, by more than one of its steps.');
  expect(screen.getByTestId('big-number').textContent).toMatch(/0\.38\s*± 0\.03\s*% low/);
  expect(main().textContent).toContain('3° is 0.14 %, 5° is 0.38 %');
  expect(main().textContent).toContain('4.981 kg');
  await fireEvent.click(button('Leave it, carry the doubt'));
  await waitFor(() => expect(fake.calls.at(-1)).toMatchObject({ name: 'decideCheck', args: ['leave'] }));
  fake.show(
    view({
      check: { ...over, decisions: [], decided: 'leave' },
      checks: { ...none, scale: { ...found, decision: 'leave' } },
    }),
  );
  await screen.findByText(/Left as it is/);
  await fireEvent.click(button('Back'));
  await screen.findByRole('heading', { name: 'The simulated bench' });
  fake.show(view({ check: null, checks: { ...none, scale: { ...found, decision: 'leave' } } }));
  expect((await screen.findByTestId('check-made')).textContent).toBe(
    'Scale checked: reads 0.38 % low, left as it is.',
  );
});

test('Go measures on the scale that was checked, not on a new one', async () => {
  const { fake } = await atChecks();
  await fireEvent.click(button('Back'));
  await screen.findByRole('heading', { name: 'The simulated bench' });
  const opened = fake.names().filter((name) => name === 'openSimulated').length;
  await fireEvent.click(button('Go'));
  await waitFor(() => expect(fake.names()).toContain('startSweep'));
  expect(fake.names().filter((name) => name === 'openSimulated')).toHaveLength(opened);
});

test('another rig asked for after the check: the simulated bench is opened anew for it, and no check is claimed of it', async () => {
  const { fake } = await atChecks();
  await fireEvent.click(screen.getByLabelText('psi, gal/min'));
  await fireEvent.click(button('Back'));
  await screen.findByRole('heading', { name: 'The simulated bench' });
  fake.show(view({ checks: { ...none, scale: { ...found, decision: 'correct' } } }));
  await screen.findByTestId('check-made');
  await fireEvent.click(screen.getByLabelText('the whole sprayer'));
  await waitFor(() => expect(screen.queryByTestId('check-made')).toBeNull());
  button('Check the scale first');
  await fireEvent.click(button('Go'));
  await waitFor(() => expect(fake.names()).toContain('startSweep'));
  const opened = fake.calls.filter(({ name }) => name === 'openSimulated');
  expect(opened).toHaveLength(2);
  expect(opened[1]!.args[0]).toMatchObject({ rig: { standsOnScale: 'sprayer' } });
});

test('a check that failed says what happened, what was kept and what to do', async () => {
  const { fake } = await atChecks();
  const failed = { ok: false, because: 'check-disturbed' } as const;
  fake.show(
    view({ check: { ...running, prompt: { kind: 'check-failed', because: 'check-disturbed' }, failed } }),
  );
  await waitFor(() => expect(main().textContent).toContain('Keep wet gloves off its keys and check again.'));
});

test('from the result the scale is checked again for that sweep, and the drift is told', async () => {
  const { fake, bench } = await atChecks();
  fake.show(view({ sweep: doneSweep() }));
  await waitFor(() => expect(bench.showsResult).toBe(true));
  await fireEvent.click(button('Back'));
  await screen.findByRole('button', { name: 'Check the scale' });
  fake.show(view({ sweep: doneSweep(), checks: { ...none, scale: { ...found, decision: 'correct' } } }));
  await fireEvent.click(await screen.findByRole('button', { name: 'Check the scale again' }));
  await screen.findByRole('heading', { name: 'Check the instrument' });
  await type('Weights, from light to heavy', '5');
  await fireEvent.click(button('Check the scale'));
  await waitFor(() => expect(fake.calls.at(-1)).toMatchObject({ name: 'startCheck' }));
  expect(fake.calls.at(-1)!.args[1]).toBe(doneSweep().sweepId);
  const drift = { relative: 0.002, standardUncertainty: 1e-4, moved: true };
  fake.show(view({ sweep: doneSweep(), check: { ...over, decisions: [], result: { ...found, drift } } }));
  await screen.findByText(/it has moved by 0\.200 %, give or take 0\.020/);
});

test('a board has a clock, a sensor and, beside a finished sweep, a meter to be checked', async () => {
  const { fake } = await atChecks();
  const board = { ...readingScale, kind: 'bench-board' as const };
  fake.show(view({ instrument: board }));
  await fireEvent.click(await screen.findByRole('button', { name: 'Check the clock' }));
  expect(fake.calls.at(-1)).toMatchObject({ name: 'startCheck', args: [{ kind: 'clock' }, null] });
  expect(screen.queryByRole('button', { name: 'Check the meter' })).toBeNull();
  await fireEvent.click(button('Check the sensor'));
  expect(main().textContent).toContain('Fill this in');
  await type('Pressure on the trusted gauge', '4');
  await type('The gauge is good to ±', '0.04');
  await fireEvent.click(button('Check the sensor'));
  expect(fake.calls.at(-1)!.args[0]).toEqual({
    kind: 'pressure',
    known_Pa: 400_000,
    knownStandardUncertainty_Pa: 2_000,
  });
  fake.show(view({ instrument: board, sweep: doneSweep() }));
  fake.answers.startCheck = { ok: false, because: 'meter-one-flow' };
  await fireEvent.click(await screen.findByRole('button', { name: 'Check the meter' }));
  await fireEvent.click(await screen.findByRole('button', { name: 'One factor will do' }));
  expect(fake.calls.at(-1)!.args[0]).toEqual({ kind: 'meter', oneFlowWillDo: true });
});

test('the trickle and the limit of the scale: what cannot be is refused, and the words go when the number is corrected', async () => {
  const { fake } = await atChecks();
  fake.answers.startCheck = {
    ok: false,
    because: 'check-mass-too-big',
    facts: { mass_kg: 226.796185, limit_kg: 18.143694800000002 },
  };
  await type('Weights, from light to heavy', '226.8');
  await fireEvent.click(button('Check the scale'));
  expect((await screen.findByRole('alert')).textContent).toContain('mass: 227 kg, limit: 18.1 kg');
  await type('Weights, from light to heavy', '5');
  await waitFor(() => expect(screen.queryByRole('alert')).toBeNull());
});

test('what the set-up knows is filled in, follows the units, and stays as the person changed it', async () => {
  await atChecks();
  const value = (label: string) => screen.getByLabelText<HTMLInputElement>(label).value;
  const limit = 'The scale bears up to';
  // 40 lb and 64 °F of the simulated bench’s set-up, turned to metric with it.
  expect(Number(value(limit))).toBeCloseTo(18.14, 2);
  await type('Weights, from light to heavy', '10');
  await fireEvent.click(screen.getByLabelText('psi, gal/min'));
  expect(Number(value(limit))).toBeCloseTo(40, 2);
  expect(value('Weights, from light to heavy')).toBe('22.0462');
  await fireEvent.click(screen.getByLabelText('a volume of water'));
  expect(Number(value('Water temperature'))).toBeCloseTo(64, 1);
  await fireEvent.click(screen.getByLabelText('a weight'));
  await type(limit, '30');
  await fireEvent.click(button('Back'));
  await fireEvent.click(await screen.findByRole('button', { name: 'Check the scale first' }));
  await screen.findByRole('heading', { name: 'Check the instrument' });
  expect(value(limit)).toBe('30');
});

test('a check slower than the speed that was set says so', async () => {
  const { fake } = await atChecks();
  fake.show(view({ instrument: { ...readingScale, simulated: true, speed: 5 } }));
  await waitFor(() => expect(main().textContent).toContain('runs at 5x'));
  fake.show(view({ instrument: { ...readingScale, simulated: true, speed: 20 } }));
  await waitFor(() => expect(main().textContent).not.toContain('runs at'));
});

test('no button has the focus while it runs, so that no key throws it away; stopped, it says so where it can be begun again', async () => {
  const { fake } = await atChecks();
  await type('Weights, from light to heavy', '5');
  fake.show(view({ check: running }));
  await screen.findByTestId('check-line');
  expect(document.activeElement?.tagName).toBe('H1');
  await fireEvent.click(button('Stop the check'));
  fake.show(view());
  expect((await screen.findByTestId('stopped')).textContent).toContain('Stopped. Nothing was changed');
  expect(screen.getByLabelText<HTMLInputElement>('Weights, from light to heavy').value).toBe('5');
  await fireEvent.click(button('Check the scale'));
  await waitFor(() => expect(fake.names()).toContain('startCheck'));
  expect(screen.queryByTestId('stopped')).toBeNull();
});

const mainButton = () => main().querySelector('button.main')?.textContent.trim();

test('perhaps tilted: levelling and the same check again come first; nothing of it is advised once it is decided', async () => {
  const { fake } = await atChecks();
  await type('Weights, from light to heavy', '5');
  fake.show(view({ check: over }));
  await screen.findByRole('button', { name: 'Correct it' });
  expect(mainButton()).toBe('Level it and check again');
  expect(main().querySelectorAll('button.main')).toHaveLength(1);
  await fireEvent.click(button('Level it and check again'));
  await waitFor(() => expect(fake.calls.at(-1)).toMatchObject({ name: 'startCheck' }));
  expect(fake.calls.at(-1)!.args).toMatchObject([{ references: [{ mass_kg: 5 }] }, null]);
  fake.show(view({ check: { ...over, decisions: [], decided: 'correct' } }));
  await screen.findByText(/^Corrected:/);
  expect(main().textContent).toContain('it may stand crooked');
  expect(main().textContent).not.toContain('before you correct it');
  // A sweep that is over was measured crooked: nothing is levelled for it any more.
  fake.show(view({ check: { ...over, sweepId: 'a sweep', decisions: ['correct', 'leave'] } }));
  await screen.findByText(/Level it before the next sweep/);
  expect(mainButton()).toBe('Correct it');
});

test('what can not be told is left before it is corrected', async () => {
  const { fake } = await atChecks();
  const unsure = { ...found, verdict: 'cannot-tell', warnings: ['check-reference-poor'] } as const;
  fake.show(view({ check: { ...over, result: unsure } }));
  await screen.findByRole('button', { name: 'Correct it' });
  expect(mainButton()).toBe('Leave it, carry the doubt');
});

test('the trickle is answered, and water left in the pail is to be emptied', async () => {
  const { fake } = await atChecks();
  const trickle = { trickled_kg: 0.03, shown_kg: 0.0295, swallowed: false };
  const prompt = { kind: 'check-done', leaves: 'water-in-pail' } as const;
  fake.show(view({ check: { ...over, prompt, result: { ...found, trickle } } }));
  expect((await screen.findByTestId('trickle')).textContent).toContain('does not swallow a drip');
  expect(main().textContent).toContain('Empty the pail, and put it back.');
});
