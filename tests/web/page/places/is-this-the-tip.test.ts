import { fireEvent, screen, waitFor, within } from '@testing-library/svelte';
import { expect, test } from 'vitest';
import type { RackView } from '../../../../web/contract.ts';
import { readingScale } from '../fake-bench.ts';
import { sampleRack } from '../sample-rack.ts';
import { doneSweep } from '../sample-sweep.ts';
import { mountPage } from './mounted.ts';

const rack = sampleRack();
const tip = rack.tips.find(({ drift }) => drift !== null)!;
const last = tip.drift!.points.at(-1)!;

/** The rack with the newest check of one tip 40 % off, answered so. */
function asked(isThisTip?: boolean): RackView {
  const far = {
    ...last,
    deviation: 0.4,
    leftOutBecause: isThisTip === true ? null : ('is-this-the-tip' as const),
    ...(isThisTip === undefined ? {} : { isThisTip }),
  };
  const drift = { ...tip.drift!, points: [...tip.drift!.points.slice(0, -1), far] };
  const warnings = isThisTip === undefined ? (['is-this-the-tip'] as const) : [];
  return { ...rack, tips: rack.tips.map((one) => (one === tip ? { ...one, drift, warnings } : one)) };
}

test('a check that is far off is asked about on the tip’s page, answered with one press, and taken back with another', async () => {
  const { fake } = mountPage();
  fake.answers.rack = { ok: true, value: asked() };
  window.location.hash = `#/rack/${encodeURIComponent(tip.key)}`;
  window.dispatchEvent(new Event('hashchange'));
  const box = within(await screen.findByTestId('is-this-the-tip'));
  box.getByRole('heading', { name: 'Is this the tip?' });
  expect(box.getByText(/\+40/).textContent).toMatch(/may be another tip/);
  box.getByText(/stays in the list and never counts/);

  fake.answers.rack = { ok: true, value: asked(false) };
  await fireEvent.click(box.getByRole('button', { name: 'It was another tip' }));
  await screen.findByText(/was of another tip: it stays in the list and does not count/);
  const saved = () => fake.calls.filter(({ name }) => name === 'saveTip').map(({ args }) => args[0]);
  expect(saved().at(-1)).toMatchObject({ answered: [{ sweepId: last.sweepId, isThisTip: false }] });

  fake.answers.rack = { ok: true, value: asked() };
  const undo = within(screen.getByTestId('is-this-the-tip')).getByRole<HTMLButtonElement>('button', {
    name: 'Undo',
  });
  await waitFor(() => expect(undo.disabled).toBe(false));
  await fireEvent.click(undo);
  await screen.findByRole('button', { name: 'It is this tip' });
  expect(saved().at(-1)).toMatchObject({ answered: [{ sweepId: last.sweepId, isThisTip: null }] });
});

test('of the invented season it is told, and nothing can be answered', async () => {
  const { fake } = mountPage();
  fake.answers.rack = { ok: true, value: asked() };
  window.location.hash = `#/rack/season/${encodeURIComponent(tip.key)}`;
  window.dispatchEvent(new Event('hashchange'));
  await screen.findByTestId('is-this-the-tip');
  expect(screen.queryByRole('button', { name: 'It is this tip' })).toBeNull();
});

test('right after a weekly check the result asks it, and only of that check', async () => {
  const { fake } = mountPage();
  fake.answers.rack = { ok: true, value: asked() };
  const done = doneSweep();
  const setup = { ...done.setup, occasion: 'weekly-check' as const };
  fake.show({ instrument: readingScale, sweep: { ...done, setup, sweepId: last.sweepId } });
  await screen.findByTestId('is-this-the-tip');
  fake.answers.rack = { ok: true, value: asked(true) };
  await fireEvent.click(screen.getByRole('button', { name: 'It is this tip' }));
  await screen.findByText(/was of this tip: it counts/);

  const other = mountPage();
  other.fake.answers.rack = { ok: true, value: asked() };
  other.fake.show({ instrument: readingScale, sweep: { ...done, setup, sweepId: 'another' } });
  await waitFor(() => expect(other.fake.names()).toContain('rack'));
  expect(screen.queryByTestId('is-this-the-tip')).toBeNull();
});
