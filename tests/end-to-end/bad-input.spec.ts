/** What a person may really plug in or type: each gets a plain sentence, and no number is invented. */
import type { Page } from '@playwright/test';
import type { Instrument } from './serial-rig/rig.ts';
import { button, fill, openPage, pickFirstPort, words } from './bench-page.ts';
import { expect, test } from './browser.ts';

/** Sends the same again and again, a stream as a real device gives one, until stopped. */
function stream(instrument: Instrument, make: (count: number) => Uint8Array | string): () => void {
  let count = 0;
  const timer = setInterval(() => instrument.send(make(count++)), 100);
  return () => clearInterval(timer);
}

async function openInstrument(page: Page, origin: string): Promise<void> {
  await pickFirstPort(page);
  await openPage(page, origin);
  await button(page, words.choice.instrument).click();
  await page.getByRole('radio', { name: words.instrument.scale, exact: true }).check();
  await button(page, words.instrument.open).click();
}

/** Noise as a wrong speed gives it: bytes all over, seldom a line end. */
function noise(count: number): Uint8Array {
  let state = count + 1;
  return Uint8Array.from({ length: 40 }, () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return 128 + (state >>> 25);
  });
}

const devices: readonly {
  readonly what: string;
  readonly make: (count: number) => Uint8Array | string;
  readonly because: readonly string[];
}[] = [
  {
    what: 'binary noise, as a wrong speed gives it',
    make: noise,
    because: ['wrong-baud-likely', 'line-not-printable'],
  },
  {
    what: 'another device’s sentences',
    make: (count) => `$GPXYZ,${String(count)},4807.038,N,01131.000,E*47\r\n`,
    because: ['line-unknown-sentence', 'not-an-instrument-we-read'],
  },
  {
    what: 'a unit nobody knows',
    make: (count) => `  ${String(count)}.0 stone\r\n`,
    because: ['line-unknown-unit', 'not-an-instrument-we-read'],
  },
  {
    what: 'bare numbers when no unit was chosen',
    make: (count) => `  ${String(count)}.0\r\n`,
    because: ['line-unit-missing'],
  },
  {
    what: 'a display of dashes',
    make: () => ' ------ \r\n',
    because: ['line-no-number', 'no-mass', 'no-readings-yet'],
  },
];

for (const { what, make, because } of devices) {
  test(`a line that gives ${what}: the page says so and shows no mass`, async ({ served, rig, open }) => {
    const instrument = await rig.plugIn();
    const { page, complaints } = await open({ rig });
    const stop = stream(instrument, make);
    await openInstrument(page, served.origin);
    const trouble = page.locator(because.map((code) => `[data-because="${code}"]`).join(', '));
    await expect(trouble).toBeVisible({ timeout: 15_000 });
    await expect(trouble).toContainText(/\w+.*\./);
    await expect(page.getByTestId('mass')).toHaveCount(0);
    stop();
    expect(complaints).toEqual([]);
  });
}

test('an instrument that says nothing: after a while the page says that no reading came', async ({
  served,
  rig,
  open,
}) => {
  await rig.plugIn();
  const { page } = await open({ rig });
  await openInstrument(page, served.origin);
  await expect(page.locator('[data-because="no-readings-yet"]')).toBeVisible({ timeout: 15_000 });
});

test('a port that another program holds: refused in words, and opened at the next try once it is free', async ({
  served,
  rig,
  open,
}) => {
  const instrument = await rig.plugIn();
  const { page } = await open({ rig });
  await instrument.hold();
  await openInstrument(page, served.origin);
  await expect(page.locator('[data-because="port-busy-or-gone"]').first()).toBeVisible();
  await instrument.release();
  const stop = stream(instrument, (count) => `  ${String(100 + count)}.0 g\r\n`);
  await button(page, words.instrument.open).click();
  await expect(page.getByTestId('mass')).toBeVisible();
  stop();
});

test('nobody picks a port: said in words, nothing opened', async ({ served, open }) => {
  const { page } = await open();
  await pickFirstPort(page);
  await openPage(page, served.origin);
  await button(page, words.choice.instrument).click();
  await button(page, words.instrument.open).click();
  await expect(page.locator('[data-because="no-port-picked"]')).toBeVisible();
});

for (const { what, label, value } of [
  { what: 'a negative setting', label: words.setup.settings, value: '20 -30 40' },
  { what: 'a setting of a million psi', label: words.setup.settings, value: '20 1000000' },
  { what: 'words for settings', label: words.setup.settings, value: 'low high' },
  { what: 'the same setting twice', label: words.setup.settings, value: '40 40' },
  { what: 'no catches per setting', label: words.setup.catches, value: '0' },
  { what: 'a rated flow below zero', label: words.setup.ratedFlow, value: '-0.4' },
  { what: 'a scale that bears nothing', label: words.setup.scaleLimit, value: '0' },
]) {
  test(`${what} is refused beside its field before anything begins`, async ({ served, open }) => {
    const { page, complaints } = await open();
    await openPage(page, served.origin);
    await button(page, words.choice.simulated).click();
    await page.getByText(words.setup.details, { exact: true }).click();
    await fill(page, label, value);
    await page.getByRole('button', { name: words.setup.go, exact: true }).click();
    await expect(page.getByLabel(label, { exact: true })).toHaveAttribute('aria-invalid', 'true');
    await expect(page.getByRole('alert')).toContainText(words.setup.fix);
    await expect(page.getByText(words.running.tableTitle)).toHaveCount(0);
    expect(complaints).toEqual([]);
  });
}
