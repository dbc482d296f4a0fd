/** The scale checked before the sweep and again after it: hands-free, decided by the person, in every ± from then on. */
import { readFileSync } from 'node:fs';
import type { Page } from '@playwright/test';
import { POUND_KG } from '../../src/base/units/constants.ts';
import { becauseSentences } from '../../web/wording/because.ts';
import { inputName } from '../../web/wording/budget.ts';
import { checkWords, decisionWords } from '../../web/wording/checks.ts';
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
import { analysedInTerminal, expectSameFlow, openBudget, savedBudgets, savedCapture } from './saved-files.ts';

/** Types a known weight and begins. */
async function beginScaleCheck(page: Page, pounds: string): Promise<void> {
  await fill(page, checkWords.amounts, pounds);
  await page.getByRole('button', { name: checkWords.goScale, exact: true }).click();
}

/** What the result says, in the words and figures that a later look at the same sweep has to repeat. */
async function toldByResult(page: Page) {
  await openBudget(page);
  return {
    headline: await page.getByRole('heading', { level: 1 }).textContent(),
    rows: await catchRows(page),
    biggest: await page.getByTestId('biggest').textContent(),
    budget: await page.getByRole('table', { name: words.budget.caption }).textContent(),
  };
}

const checkLine = (page: Page) => page.getByTestId('check-line');

test('the scale is checked, corrected, measured with and checked again: the result is computed anew, and the Log says the same (draws from 3)', async ({
  served,
  open,
}, info) => {
  test.setTimeout(150_000);
  const { page, complaints } = await open();
  await drawFrom(page, 3);
  await openPage(page, served.origin);
  await button(page, words.choice.simulated).click();
  await page.getByText(words.setup.details, { exact: true }).click();
  await fill(page, words.setup.settings, '30 60');
  await fill(page, words.setup.catches, '1');

  await button(page, checkWords.first).click();
  await expect(page.getByRole('heading', { level: 1, name: checkWords.title })).toBeVisible();
  const told = await noteLines(page, SPOKEN);
  await beginScaleCheck(page, '20');
  await expect(checkLine(page)).toContainText(/reads (low|high), by more than one of its steps/, {
    timeout: 60_000,
  });
  // Nothing was touched since: zero, the weight, ten quiet seconds, and off again.
  const lines = (await told()).join('\n');
  expect(lines).toMatch(/Take everything off the scale[^]*Now put 20 lb on\.[^]*Take the weight off again\./);
  await expect(page.getByRole('heading', { level: 1 })).toContainText(words.simulated);
  const [put, shown] = await page
    .getByRole('table', { name: checkWords.caption })
    .locator('tbody tr')
    .first()
    .getByRole('cell')
    .allTextContents();
  expect(parseFloat(put!)).toBeCloseTo(20, 3);
  expect(parseFloat(shown!)).not.toBeCloseTo(20, 2);
  await page.getByRole('button', { name: decisionWords.correct.label, exact: true }).click();
  await expect(page.getByText(decisionWords.correct.done)).toBeVisible();
  await button(page, words.back).click();
  await expect(page.getByTestId('check-made')).toHaveText(
    /^Scale checked: reads [\d.]+ % (low|high), corrected\.$/,
  );

  await page.getByRole('button', { name: words.setup.go, exact: true }).click();
  await expect(truthLine(page)).toBeVisible({ timeout: 60_000 });
  const before = await toldByResult(page);
  expect(before.rows.map(([, setting]) => setting).sort()).toEqual(['30 psi', '60 psi']);
  const [kBefore] = await savedBudgets(page, info);
  const inputs = kBefore!.budget.lines.map(({ input }) => input);
  expect(inputs).toContain('scale-factor');
  expect(inputs).not.toContain('scale-drift');
  // The factor that was found is in the file, and in the flow: true over shown, as the table of loads had it.
  const factor = Number(
    /^# scaleFactor: ([\d.]+)$/m.exec(readFileSync(await savedCapture(page, info), 'utf8'))![1],
  );
  expect(factor).toBeCloseTo(parseFloat(put!) / parseFloat(shown!), 3);

  // A slip of the unit: nothing begins, nothing that was measured is lost.
  await button(page, checkWords.again).click();
  await beginScaleCheck(page, '500');
  const refusal = page.locator('[data-because="check-mass-too-big"]');
  const { what, kept, todo } = becauseSentences['check-mass-too-big'];
  await expect(refusal).toContainText(`${what} ${kept} ${todo}`);
  await expect(page.getByRole('heading', { level: 1, name: checkWords.title })).toBeVisible();
  expect(500 * POUND_KG).toBeGreaterThan(100);
  await button(page, words.back).click();
  expect(await toldByResult(page)).toEqual(before);

  await button(page, checkWords.again).click();
  await beginScaleCheck(page, '20');
  await expect(checkLine(page)).toContainText('Since the check before it has', { timeout: 60_000 });
  await button(page, words.back).click();
  // The drift between the two is a line of the budget now, and in the ± of every number.
  await openBudget(page);
  await expect(
    page.getByRole('rowheader', { name: inputName({ input: 'scale-drift', scope: 'shared' }) }),
  ).toBeVisible();
  const after = await toldByResult(page);
  const [kAfter] = await savedBudgets(page, info);
  const drift = kAfter!.budget.lines.find(({ input }) => input === 'scale-drift');
  expect(drift?.included).toBe(true);
  expect(drift!.contribution).toBeGreaterThan(0);
  expect(kAfter!.budget.standardUncertainty).toBeGreaterThan(kBefore!.budget.standardUncertainty);
  const file = await savedCapture(page, info);
  expect(readFileSync(file, 'utf8')).toMatch(/\t!scale-check /);
  const analysis = analysedInTerminal(file);
  after.rows.forEach(([, , flow], i) => expectSameFlow(flow!, analysis.catches[i]!.flow_m3_per_s));
  expect(analysis.budget.nozzleConstant).toEqual(kAfter!.budget);

  await page.getByRole('link', { name: words.log, exact: true }).click();
  await page.getByRole('link', { name: new RegExp(`^${words.logbook.open}:`) }).click();
  await expect(page.getByRole('link', { name: words.logbook.close })).toBeVisible();
  await expect(page.getByTestId('biggest')).toBeVisible();
  expect(await toldByResult(page)).toEqual(after);
  expect(complaints).toEqual([]);
});

test('500 lb is refused before any sweep too; a scale found wrong only afterwards puts every flow right (draws from 3)', async ({
  served,
  open,
}, info) => {
  const { page, complaints } = await open();
  await drawFrom(page, 3);
  await openPage(page, served.origin);
  await button(page, words.choice.simulated).click();
  await page.getByText(words.setup.details, { exact: true }).click();
  await fill(page, words.setup.settings, '40');
  await fill(page, words.setup.catches, '1');
  await button(page, checkWords.first).click();
  await beginScaleCheck(page, '500');
  await expect(page.locator('[data-because="check-mass-too-big"]')).toContainText(
    becauseSentences['check-mass-too-big'].what,
  );
  await expect(page.getByLabel(checkWords.amounts, { exact: true })).toHaveValue('500');
  // Put right, it begins; stopped, nothing was found and nothing is in force.
  await beginScaleCheck(page, '20');
  await expect(checkLine(page)).toContainText('Take everything off the scale');
  await button(page, checkWords.stop).click();
  await expect(page.getByRole('heading', { level: 1, name: checkWords.title })).toBeVisible();
  await expect(page.getByTestId('check-made')).toHaveCount(0);
  await button(page, words.back).click();

  await page.getByRole('button', { name: words.setup.go, exact: true }).click();
  await expect(truthLine(page)).toBeVisible({ timeout: 60_000 });
  const wrong = analysedInTerminal(await savedCapture(page, info));
  const before = await catchRows(page);
  await button(page, checkWords.now).click();
  await beginScaleCheck(page, '20');
  await page
    .getByRole('button', { name: decisionWords.correct.label, exact: true })
    .click({ timeout: 60_000 });
  await button(page, words.back).click();
  await expect(page.getByRole('table', { name: words.table.caption })).toBeVisible();
  await expect.poll(() => catchRows(page)).not.toEqual(before);
  const file = await savedCapture(page, info);
  const mark = /\t!scale-check ([\d.]+) [\d.e-]+ corrects$/m.exec(readFileSync(file, 'utf8'));
  const right = analysedInTerminal(file);
  expect(right.catches[0]!.flow_m3_per_s! / wrong.catches[0]!.flow_m3_per_s!).toBeCloseTo(
    Number(mark![1]),
    6,
  );
  expect(Math.abs(Number(mark![1]) - 1)).toBeGreaterThan(0.001);
  expectSameFlow((await catchRows(page))[0]![2]!, right.catches[0]!.flow_m3_per_s);
  expect(complaints).toEqual([]);
});
