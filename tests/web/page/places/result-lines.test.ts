import { fireEvent, screen, waitFor } from '@testing-library/svelte';
import { expect, test } from 'vitest';
import { pailLine, traceCaption, traceOfSweep, traceTitle } from '../../../../web/wording/running.ts';
import { shownUnits } from '../../../../web/wording/units.ts';
import type { SweepView } from '../../../../web/contract.ts';
import { readingScale } from '../fake-bench.ts';
import { doneSweep, psi, sampleCatch, samplePicture, sampleSetup, sampleSweep } from '../sample-sweep.ts';
import { mountPage } from './mounted.ts';

const { catches } = doneSweep();
const done = { phase: 'done', prompt: { kind: 'done' }, running: null } as const;
const view = (sweep: SweepView) => ({ instrument: readingScale, sweep });
const repeats = {
  standardDeviation_Pa: psi(1.42),
  lowest_Pa: psi(1.01),
  highest_Pa: psi(2.34),
  degreesOfFreedom: 10,
  stated_Pa: psi(1.5),
};

test('how well the dial goes back to a mark is one line of the result, its interval one step deeper', async () => {
  const { fake } = mountPage();
  fake.show(view(sampleSweep({ ...done, picture: { ...samplePicture(catches), dialRepeats: repeats } })));
  const line = await screen.findByText('This dial goes back to a mark within 1.4 psi, two times in three.');
  const details = screen.getByTestId<HTMLDetailsElement>('dial-repeats');
  expect(details.open).toBe(false);
  await fireEvent.click(line);
  expect(details.textContent.replaceAll('\u00a0', ' ')).toContain('from 10 repeats; 1.5 psi was told.');
  // Set once, or read by a sensor: nothing is said.
  fake.show(view(sampleSweep({ ...done, picture: samplePicture(catches) })));
  await waitFor(() => expect(screen.queryByTestId('dial-repeats')).toBeNull());
});

test('what passed a meter is not called water in a pail', async () => {
  const { fake } = mountPage();
  const trace = { restart: true, time_s: new Float64Array([0, 1]), mass_kg: new Float64Array([0, 1]) };
  // Of a sweep just done only its trace is asked for.
  fake.answers.openSweep = { ok: true, value: { trace } as never };
  fake.show(view(sampleSweep({ ...done, catches: [sampleCatch(0, 40, { flowFrom: 'pulses' })] })));
  await screen.findByText('Water past the meter over time');
  screen.getByText(/past the meter, whole recording$/);
  expect(screen.queryByText('The pail over time')).toBeNull();
});

test('while it runs the meter alone knows no pail, and the scale knows what stands on it', () => {
  const { us } = shownUnits;
  const metered = sampleSweep({ pail: { level_kg: null, room_kg: Infinity } });
  expect(traceOfSweep(metered)).toBe('meter');
  expect(pailLine(metered, us)).not.toMatch(/Infinity|Room/);
  const { rig } = sampleSetup;
  const tank = sampleSweep({ setup: { ...sampleSetup, rig: { ...rig, standsOnScale: 'sprayer' } } });
  expect([traceOfSweep(sampleSweep()), traceOfSweep(tank)]).toEqual(['pail', 'sprayer']);
  expect(traceTitle('sprayer')).toBe('The sprayer on the scale over time');
  expect(traceCaption(us, false, 'sprayer')).toMatch(/on the scale, last minute and a half$/);
});
