/** One short sweep of each rig that is not simply a pail on the scale; its words, its budget, and the terminal's word on the same capture. */
import type { Page } from '@playwright/test';
import { PSI_PA } from '../../src/base/units/constants.ts';
import { budgetRows, togetherText } from '../../web/wording/budget.ts';
import { rigSetAndSpray, swellingLine } from '../../web/wording/rig-prompts.ts';
import { rigWords } from '../../web/wording/rig-words.ts';
import { traceTitle } from '../../web/wording/running.ts';
import { shownUnits } from '../../web/wording/units.ts';
import {
  button,
  catchRows,
  drawFrom,
  fill,
  HEADLINE,
  noteLines,
  numbersIn,
  openPage,
  SPOKEN,
  truthLine,
  words,
} from './bench-page.ts';
import { expect, test } from './browser.ts';
import { analysedInTerminal, expectSameFlow, openBudget, savedBudgets, savedCapture } from './saved-files.ts';

/** One setting, one catch, at 20x; `choose` picks the rig. @returns what was told, and what stood there long enough to be seen. */
async function oneCatch(page: Page, origin: string, seed: number, choose: () => Promise<void>) {
  await drawFrom(page, seed);
  await openPage(page, origin);
  await button(page, words.choice.simulated).click();
  await page.getByText(words.setup.details, { exact: true }).click();
  await fill(page, words.setup.settings, '40');
  await fill(page, words.setup.catches, '1');
  await choose();
  const spoken = await noteLines(page, SPOKEN);
  const shown = await noteLines(page, HEADLINE);
  await page.getByRole('button', { name: words.setup.go, exact: true }).click();
  await expect(truthLine(page)).toBeVisible({ timeout: 60_000 });
  return { spoken: await spoken(), shown: await shown() };
}

/** What the tip really gives lies within a few ± of what is told: a rig read the wrong way is off by far more. */
async function expectNearTruth(page: Page): Promise<void> {
  const told = (await truthLine(page).textContent())!;
  const [, measured, plusMinus] = numbersIn(told.replace(/^[^:]*:/, ''));
  const [truth] = numbersIn(told.replace(/^[^:]*:/, ''));
  expect(Math.abs(measured! - truth!), told).toBeLessThanOrEqual(3 * plusMinus!);
  expect(plusMinus! / measured!, told).toBeLessThan(0.2);
}

/** Screen, saved budget and terminal tell one and the same thing. */
async function expectOneWord(page: Page, info: Parameters<typeof savedCapture>[1]): Promise<void> {
  const rows = await catchRows(page);
  const analysis = analysedInTerminal(await savedCapture(page, info));
  expect(analysis.simulated).toBe(true);
  expect(analysis.catches).toHaveLength(rows.length);
  rows.forEach(([, , flow], i) => expectSameFlow(flow!, analysis.catches[i]!.flow_m3_per_s));
  const { nozzleConstant_m3_per_s_per_sqrtPa: k } = analysis.curve!;
  const headline = /gives ([\d.]+) gal\/min/.exec(
    (await page.getByRole('heading', { level: 1 }).textContent())!.replace(/\s+/g, ' '),
  );
  expectSameFlow(headline![1]!, k * Math.sqrt(40 * PSI_PA));

  await openBudget(page);
  const [ofCurve] = await savedBudgets(page, info);
  expect(ofCurve!.of).toBe('nozzle-constant');
  const { budget } = ofCurve!;
  expect(analysis.budget.nozzleConstant).toEqual(budget);
  const table = page.getByRole('table', { name: words.budget.caption });
  await expect(table.getByRole('rowheader')).toHaveText([
    ...budgetRows(budget, shownUnits.us).map(({ name }) => name),
    words.budget.together,
  ]);
  await expect(table.locator('tfoot td')).toHaveText(togetherText(budget));
  // JCGM 100:2008, 5.1.2: what is added up by its squares comes to the combined standard uncertainty.
  const counted = budget.lines.filter(({ included }) => included);
  const combined = Math.hypot(...counted.map(({ contribution }) => contribution));
  expect(combined / budget.standardUncertainty).toBeCloseTo(1, 6);
}

test('the whole sprayer on the scale: what it loses is the flow (draws from 4)', async ({
  served,
  open,
}, info) => {
  test.setTimeout(90_000);
  const { page, complaints } = await open();
  const { spoken, shown } = await oneCatch(page, served.origin, 4, async () => {
    await page.getByRole('radio', { name: rigWords.onScaleSprayer, exact: true }).check();
    await expect(page.getByLabel(rigWords.tank, { exact: true })).toBeVisible();
  });
  const rig = { kind: 'held', standsOnScale: 'sprayer' } as const;
  const turned = rigSetAndSpray({ turnAwayFirst: true, sameAgain: false }, rig, '40 psi');
  const set = rigSetAndSpray({ turnAwayFirst: false, sameAgain: false }, rig, '40 psi');
  expect(spoken.some((line) => line === turned || line === set)).toBe(true);
  expect([...spoken, ...shown].join(' ')).not.toContain('pail');
  await expect(page.getByTestId('rig')).toHaveText(/Measured by what the sprayer lost\./);
  await expect(page.getByRole('heading', { name: traceTitle('sprayer') })).toBeVisible();
  await expectNearTruth(page);
  await expectOneWord(page, info);
  expect(complaints).toEqual([]);
});

test('a hose reel: it runs until the hose has swollen, and tells when that was (draws from 4)', async ({
  served,
  open,
}, info) => {
  test.setTimeout(90_000);
  const { page, complaints } = await open();
  const { shown } = await oneCatch(page, served.origin, 4, async () => {
    await page.getByRole('radio', { name: rigWords.kinds['hose-reel'], exact: true }).check();
    await expect(page.getByText(rigWords.kindHints['hose-reel'])).toBeVisible();
  });
  expect(shown).toContain(swellingLine);
  await expect(page.getByTestId('rig')).toHaveText(/The flow told is the steady one/);
  const cells = page.getByRole('table', { name: rigWords.hoseCaption }).locator('tbody td');
  await expect(cells).toHaveText(['1', '40 psi', /^[\d.]+ s$/]);
  await expectNearTruth(page);
  await expectOneWord(page, info);
  expect(complaints).toEqual([]);
});

test('pumped by hand while spraying: whole strokes to the beat, counted (draws from 4)', async ({
  served,
  open,
}, info) => {
  test.setTimeout(90_000);
  const { page, complaints } = await open();
  const { spoken } = await oneCatch(page, served.origin, 4, async () => {
    await page.getByRole('radio', { name: rigWords.kinds['pumped-while-spraying'], exact: true }).check();
    await fill(page, rigWords.beat, '1.5');
    // The sprayer can't stand on the scale while its lever is worked: it is not offered.
    await expect(page.getByRole('radio', { name: rigWords.onScaleSprayer, exact: true })).toHaveCount(0);
  });
  expect(spoken).toContain('Pump to the beat, at 40 psi. Spray into the pail.');
  await expect(page.getByTestId('rig')).toHaveText(/one stroke of the pump every 1\.5 s/);
  const cells = page.getByRole('table', { name: rigWords.strokesCaption }).locator('tbody td');
  await expect(cells).toHaveText(['1', '40 psi', /^\d+$/, /^1\.5\d? s$|^1\.4\d s$/, /^[\d.]+ %$/]);
  expect(Number(await cells.nth(2).textContent())).toBeGreaterThanOrEqual(20);
  await expectOneWord(page, info);
  expect(complaints).toEqual([]);
});
