/** No hardware: the space bar, a pail with marks, and an honest ±. */
import type { Page } from '@playwright/test';
import { button, fill, openPage, words } from './bench-page.ts';
import { expect, test } from './browser.ts';

async function timeOneCatch(page: Page, least_s: number, volume: string): Promise<void> {
  await expect(page.getByRole('heading', { name: words.hand.ready })).toBeVisible();
  await page.keyboard.press('Space');
  await expect(page.getByRole('heading', { name: words.hand.timing })).toBeVisible();
  await expect
    .poll(async () => Number(await page.getByTestId('hand-clock').textContent()), { intervals: [50] })
    .toBeGreaterThan(least_s);
  await page.keyboard.press('Space');
  await fill(page, words.hand.volume, volume);
  await button(page, words.hand.keep).click();
}

test('timed by hand with the space bar: the flow is volume over time, with a ± of its own, and it is kept in the Log', async ({
  served,
  open,
}) => {
  const { page, complaints } = await open();
  await openPage(page, served.origin);
  await button(page, words.choice.byHand).click();
  await fill(page, words.setup.tipName, 'hand tip');
  await fill(page, words.setup.rigName, 'hand sprayer');
  await fill(page, words.setup.settings, '40');
  await fill(page, words.setup.marks, '1');
  await button(page, words.setup.toHand).click();

  await timeOneCatch(page, 3, '20');
  await timeOneCatch(page, 3, '20');
  const rows = page.getByRole('table', { name: words.hand.caption }).locator('tbody tr');
  await expect(rows).toHaveCount(2);
  const timed = await rows.evaluateAll((all) =>
    all.map((row) => [...row.querySelectorAll('td')].map((cell) => cell.textContent.trim())),
  );

  const analysed = page.getByRole('table', { name: words.table.caption }).locator('tbody tr');
  await expect(analysed).toHaveCount(2);
  const shown = await analysed.evaluateAll((all) =>
    all.map((row) => [...row.querySelectorAll('td')].map((cell) => cell.textContent.trim())),
  );
  shown.forEach((cells, index) => {
    // 128 fl oz are one US gallon; seconds are shown to a tenth.
    const expected = 20 / 128 / (Number.parseFloat(timed[index]![2]!) / 60);
    const [flow, plusMinus] = [Number(cells[2]), Number(cells[3])];
    expect(plusMinus).toBeGreaterThan(0);
    expect(Math.abs(flow - expected)).toBeLessThan(plusMinus);
  });

  // Kept without a button: the page is closed under the person, and the sweep stands in the Log as it was.
  await expect(page.getByTestId('hand-kept')).toHaveText(words.hand.saved);
  await page.reload();
  await page.getByRole('link', { name: words.log }).click();
  await expect(page.getByText('hand tip')).toBeVisible();
  const entry = page.getByRole('listitem').filter({ hasText: 'hand tip' });
  await expect(entry).toHaveCount(1);
  await expect(entry).toContainText(words.logbook.byHand);
  await expect(entry).toContainText('2 catches');
  expect(complaints).toEqual([]);
});

test('by hand: no volume, letters, or more than the pail holds is refused beside the field, and nothing is kept', async ({
  served,
  open,
}) => {
  const { page } = await open();
  await openPage(page, served.origin);
  await button(page, words.choice.byHand).click();
  await fill(page, words.setup.tipName, 'hand tip');
  await fill(page, words.setup.rigName, 'hand sprayer');
  await fill(page, words.setup.settings, '40');
  await button(page, words.setup.toHand).click();
  await expect(page.getByRole('heading', { name: words.hand.ready })).toBeVisible();
  await page.keyboard.press('Space');
  await expect(page.getByRole('heading', { name: words.hand.timing })).toBeVisible();
  await page.keyboard.press('Space');
  for (const wrong of ['', 'twenty', '-4', '0', '99999']) {
    await fill(page, words.hand.volume, wrong);
    await button(page, words.hand.keep).click();
    await expect(page.getByLabel(words.hand.volume)).toHaveAttribute('aria-invalid', 'true');
  }
  await expect(page.getByText(words.hand.none)).toBeVisible();
});
