import type { Page } from '@playwright/test';
import { catchRows, drawFrom, goSimulated, numbersIn, openPage, truthLine, words } from './bench-page.ts';
import { expect, test } from './browser.ts';

/** What the page says of a term, as shown. */
async function definition(page: Page, term: string): Promise<string> {
  const said = page.getByText(term, { exact: true }).locator('xpath=self::dt/following-sibling::dd[1]');
  await expect(said).toBeVisible();
  return (await said.textContent()) ?? '';
}

test('a five-setting, three-catch sweep at 20x ends by itself after Go, with k within its own ± of the true k (draws from 7)', async ({
  served,
  open,
}) => {
  test.setTimeout(150_000);
  const { page, complaints } = await open();
  await drawFrom(page, 7);
  await openPage(page, served.origin);
  // Anything that comes from a hand after Go is counted.
  await page.evaluate(() => {
    const touched = { count: 0 };
    Object.assign(window, { touched });
    for (const kind of ['keydown', 'pointerdown']) addEventListener(kind, () => (touched.count += 1), true);
  });
  await goSimulated(page);
  const touches = () =>
    page.evaluate(() => (window as unknown as { touched: { count: number } }).touched.count);
  const afterGo = await touches();
  expect(afterGo).toBeGreaterThan(0);

  await expect(truthLine(page)).toBeVisible({ timeout: 120_000 });
  expect(await touches()).toBe(afterGo);

  // k, its ± and the true k stand one step deeper: judged here, not by the page's own verdict.
  await page.getByText(words.result.more, { exact: true }).click();
  const measuredText = await definition(page, words.result.k);
  const trueText = await definition(page, words.result.trueK);
  const [measured, plusMinus] = numbersIn(measuredText);
  const [truth] = numbersIn(trueText);
  expect(truth!).toBeGreaterThan(0);
  expect(plusMinus!).toBeGreaterThan(0);
  expect(plusMinus! / measured!).toBeLessThan(0.05);
  expect(Math.abs(measured! - truth!)).toBeLessThanOrEqual(plusMinus!);

  const rows = await catchRows(page);
  const good = rows.filter(([, , , , , note]) => note?.startsWith('good') || note?.startsWith('doubtful'));
  for (const setting of ['20 psi', '30 psi', '40 psi', '50 psi', '60 psi']) {
    expect(good.filter((row) => row[1] === setting).length, setting).toBeGreaterThanOrEqual(3);
  }
  await expect(page.getByText('simulated', { exact: true }).first()).toBeVisible();
  expect(complaints).toEqual([]);
});
