/** Tips in turn, and the nozzles of a boom: hands-free to the sentence, which the saved capture says again. */
import { readFileSync } from 'node:fs';
import type { Page, TestInfo } from '@playwright/test';
import { routineSetup } from '../../web/wording/routine-setup.ts';
import {
  button,
  catchRows,
  countTouches,
  drawFrom,
  fill,
  HEADLINE,
  noteLines,
  numbersIn,
  openPage,
  said,
  toFirstChoice,
  words,
} from './bench-page.ts';
import { expect, test } from './browser.ts';
import { analysedInTerminal, savedCapture } from './saved-files.ts';

const told = (page: Page) => page.getByTestId('routine');
const headline = (page: Page) => told(page).getByRole('heading', { level: 1 });

/** The simulated bench with this routine chosen, its plan open. */
async function choose(page: Page, origin: string, seed: number, routine: string): Promise<void> {
  await drawFrom(page, seed);
  await openPage(page, origin);
  await button(page, words.choice.simulated).click();
  await page.getByRole('radio', { name: words.scenarios.clean, exact: true }).check();
  await page.getByRole('radio', { name: routine, exact: true }).check();
  await page.getByText(words.setup.details, { exact: true }).click();
}

/** Go, and to the end without a touch. @returns every instruction that stood on the screen. */
async function toTheEnd(page: Page): Promise<string[]> {
  const shown = await noteLines(page, HEADLINE);
  await page.getByRole('button', { name: words.setup.go, exact: true }).click();
  const touches = await countTouches(page);
  await expect(page.getByTestId('routine-truth')).toBeVisible({ timeout: 90_000 });
  expect(await touches()).toBe(0);
  return shown();
}

/** Saved, put away, and opened again as a file: the same sentence and the same catches. */
async function sameWhenOpenedAgain(page: Page, info: TestInfo): Promise<string> {
  const [sentence, rows] = [await headline(page).textContent(), await catchRows(page)];
  const file = await savedCapture(page, info);
  await toFirstChoice(page);
  await button(page, words.choice.capture).click();
  await page
    .locator('input[type=file]')
    .setInputFiles({ name: 'routine.txt', mimeType: 'text/plain', buffer: readFileSync(file) });
  await expect(headline(page)).toHaveText(sentence!, { timeout: 30_000 });
  expect(await catchRows(page)).toEqual(rows);
  return file;
}

test('two tips in turn, A B B A, to a sentence with its ±; the caution stands on the screen at the swap (draws from 8)', async ({
  served,
  open,
}, info) => {
  test.setTimeout(120_000);
  const { page, complaints } = await open();
  await choose(page, served.origin, 8, words.setup.twoTips);
  // It says beforehand what it will take, and fills that in; here two of each are enough.
  await expect(page.getByTestId('tip-plan')).toHaveText(
    said(/^To see 2 % takes \d+ catches of each tip, about \d+ minutes/),
  );
  await expect(page.getByText(routineSetup.tipsWhy)).toBeVisible();
  await fill(page, words.setup.catchesOfTip, '2');
  const shown = await toTheEnd(page);
  const asked = shown.filter((line) => /tip [AB]\b/.test(line));
  expect(asked.join('\n')).toMatch(
    /^Pump off, trigger open, pressure at zero\. Put tip A on\. Set 40 psi[^]*Now change to tip B[^]*Leave tip B on[^]*Now change to tip A/,
  );
  // The caution comes before the tip is touched, each time.
  const swaps = asked.filter((line) => line.includes('Now change to'));
  expect(swaps.length).toBeGreaterThanOrEqual(2);
  for (const line of swaps) expect(line).toMatch(/^Pump off, trigger open, pressure at zero\. /);
  const rows = await catchRows(page);
  const inTurn = rows.map(([, nozzle]) => nozzle);
  expect(inTurn).toEqual(['Invented tip', 'Invented tip 2', 'Invented tip 2', 'Invented tip']);

  await expect(headline(page)).toHaveText(
    said(
      /^Invented tip 2 gives [\d.]+ % (more|less) than Invented tip, give or take [\d.]+\.$|^No difference larger than [\d.]+ % between Invented tip and Invented tip 2\.$/,
    ),
  );
  await expect(page.getByTestId('routine-truth')).toContainText('inside the ±.');
  const file = await sameWhenOpenedAgain(page, info);
  // Reckoned here, from the terminal's catches: B B over A A.
  const [a1, b1, b2, a2] = analysedInTerminal(file).catches.map((one) => one.flow_m3_per_s!);
  const percent = 100 * Math.abs((b1! + b2!) / (a1! + a2!) - 1);
  const [told_percent, plusMinus] = numbersIn((await headline(page).textContent())!.replaceAll('tip 2', ''));
  if (plusMinus === undefined) expect(percent).toBeLessThan(told_percent!);
  else expect(Math.abs(percent - told_percent!)).toBeLessThan(plusMinus / 2);
  expect(complaints).toEqual([]);
});

test('a boom of three positions, the first caught again at the end, to its table (draws from 8)', async ({
  served,
  open,
}, info) => {
  test.setTimeout(120_000);
  const { page, complaints } = await open();
  await choose(page, served.origin, 8, words.setup.boom);
  await fill(page, routineSetup.positions, '3');
  const shown = (await toTheEnd(page)).join('\n');
  expect(shown).toMatch(
    /under position 1\.[^]*Water off\. Empty the pail, [^]*position 2\. Level it\.[^]*Water off\. [^]*position 3\. Level it\.[^]*Water off\. [^]*position 1\. Level it\./,
  );
  await expect(headline(page)).toContainText(said(/of the mean/));
  await expect(told(page)).toContainText(said(/Position 1 again at the end: /));
  await expect(told(page)).toContainText(said(/coefficient of variation [\d.]+ %/));
  const rows = told(page).getByRole('table').locator('tbody tr');
  await expect(rows).toHaveCount(3);
  for (const index of [0, 1, 2]) {
    const cells = await rows.nth(index).getByRole('cell').allTextContents();
    expect(cells.slice(0, 2)).toEqual([
      `position ${String(index + 1)}`,
      index === 0 ? '1, and again at the end' : '1',
    ]);
    expect(cells[2]).toMatch(/^[\d.]+ gal\/min$/);
    expect(cells[4]).toMatch(/^[+−]?[\d.]+ % ± [\d.]+$/);
  }
  // The first one's second catch says whether the rig has moved; it is no vote more for that nozzle.
  expect(await catchRows(page)).toHaveLength(4);
  const file = await sameWhenOpenedAgain(page, info);
  expect(analysedInTerminal(file).catches).toHaveLength(4);
  expect(complaints).toEqual([]);
});
