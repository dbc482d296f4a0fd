import {
  button,
  catchRows,
  drawFrom,
  fill,
  noteLines,
  openPage,
  SPOKEN,
  truthLine,
  words,
} from './bench-page.ts';
import { expect, test } from './browser.ts';

test('five settings in one pour at 20x: nothing is touched after Go, the dial is asked for while the water runs (draws from 7)', async ({
  served,
  open,
}) => {
  test.setTimeout(120_000);
  const { page, complaints } = await open();
  await drawFrom(page, 7);
  await openPage(page, served.origin);
  await button(page, words.choice.simulated).click();
  await page.getByRole('radio', { name: '20x', exact: true }).check();
  await page.getByText(words.setup.details, { exact: true }).click();
  await page.getByRole('radio', { name: words.setup.onePour, exact: true }).check();
  const told = await noteLines(page, SPOKEN);
  await page.getByRole('button', { name: words.setup.go, exact: true }).click();
  await expect(truthLine(page)).toBeVisible({ timeout: 90_000 });
  const rows = await catchRows(page);
  for (const setting of ['20 psi', '30 psi', '40 psi', '50 psi', '60 psi'])
    expect(
      rows.some((row) => row[1] === setting),
      setting,
    ).toBe(true);
  const lines = await told();
  expect(lines.filter((line) => line.startsWith('Turn to'))).toEqual(
    [30, 40, 50, 60].map((psi) => `Turn to ${String(psi)} psi. Keep spraying.`),
  );
  expect(complaints).toEqual([]);
});

test('settings that are too close to tell apart in one pour are refused by the field, with what to do', async ({
  served,
  open,
}) => {
  const { page, complaints } = await open();
  await openPage(page, served.origin);
  await button(page, words.choice.simulated).click();
  await page.getByText(words.setup.details, { exact: true }).click();
  await page.getByRole('radio', { name: words.setup.onePour, exact: true }).check();
  await fill(page, words.setup.settings, '40 41 60');
  await page.getByRole('button', { name: words.setup.go, exact: true }).click();
  await expect(page.getByText(/40 and 41 psi are too close to tell apart/).first()).toBeVisible();
  expect(complaints).toEqual([]);
});

test('with a pressure sensor the board tells which setting it was (draws from 7)', async ({
  served,
  open,
}) => {
  test.setTimeout(120_000);
  const { page, complaints } = await open();
  await drawFrom(page, 7);
  await openPage(page, served.origin);
  await button(page, words.choice.simulated).click();
  await page.getByRole('radio', { name: '20x', exact: true }).check();
  await page.getByRole('radio', { name: words.setup.sensorThere, exact: true }).check();
  await page.getByText(words.setup.details, { exact: true }).click();
  await page.getByRole('radio', { name: words.setup.fromSensor, exact: true }).check();
  await fill(page, words.setup.settings, '20 60');
  await fill(page, words.setup.catches, '1');
  const told = await noteLines(page, SPOKEN);
  await page.getByRole('button', { name: words.setup.go, exact: true }).click();
  await expect(truthLine(page)).toBeVisible({ timeout: 90_000 });
  const read = (await told()).filter((line) => line.startsWith('Reads'));
  expect(read.length).toBeGreaterThanOrEqual(2);
  for (const line of read) expect(line).toMatch(/^Reads [\d.]+ psi: (counts as (20|60) psi|not on the plan)/);
  expect(complaints).toEqual([]);
});
