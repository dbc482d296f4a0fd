/** A new tip's baseline, and a check a week later: what there is to see, and what is still missing for limits. */
import { wholeSentence } from '../../web/wording/because.ts';
import { driftWords } from '../../web/wording/drift.ts';
import { rackWords } from '../../web/wording/rack.ts';
import {
  drawFrom,
  fill,
  goSimulated,
  openPage,
  said,
  truthLine,
  toFirstChoice,
  words,
} from './bench-page.ts';
import { expect, test } from './browser.ts';

test('a tip measured as new, then checked: the check stands in the Rack, and how to get limits is said (draws from 6)', async ({
  served,
  open,
}) => {
  test.setTimeout(120_000);
  const { page, complaints } = await open();
  await drawFrom(page, 6);
  await openPage(page, served.origin);
  const occasion = (name: string) => page.getByRole('radio', { name, exact: true }).check();
  const plan = { scenario: words.scenarios.clean, settings: '20 30 50 60', catches: '1' } as const;

  await goSimulated(page, plan, async () => {
    await occasion(words.setup.newTip);
    await expect(page.getByText(words.setup.newTipWhy)).toBeVisible();
  });
  await expect(truthLine(page)).toBeVisible({ timeout: 60_000 });
  const toRack = page.getByRole('link', { name: words.rack, exact: true });
  await toRack.click();
  const row = page.getByTestId('tips').getByRole('listitem');
  await expect(row).toContainText(said(/baseline of 1 sweep, /));
  await row.getByRole('heading').getByRole('link').click();
  await expect(page.getByTestId('drift')).toContainText(wholeSentence('no-check-yet'));
  await page.getByRole('link', { name: words.bench, exact: true }).click();
  await toFirstChoice(page);

  await goSimulated(page, { ...plan, settings: '20 30 50 60' }, async () => {
    await occasion(words.setup.weeklyCheck);
    // The second from either end: enough to see it wear.
    await expect(page.getByLabel(words.setup.settings, { exact: true })).toHaveValue('30 50');
    await fill(page, words.setup.catches, '1');
  });
  await expect(truthLine(page)).toBeVisible({ timeout: 60_000 });
  await toRack.click();
  await expect(row).toHaveCount(1);
  await expect(row).toContainText(said(/last check /));
  await row.getByRole('heading').getByRole('link').click();
  const drift = page.getByTestId('drift');
  await expect(drift).toContainText(
    said(/1 check since the baseline; the last that counts gave [+−]?[\d.]+ %, give or take [\d.]+\./),
  );
  await expect(drift).toContainText(`No limits are drawn yet. ${wholeSentence('baseline-of-one')}`);
  await expect(drift.getByRole('img')).toBeVisible();
  await drift.getByText(driftWords.caption).click();
  await expect(drift.getByRole('table').locator('tbody tr')).toHaveCount(1);
  const sweeps = page.getByRole('table', { name: rackWords.sweepsCaption }).locator('tbody tr');
  await expect(sweeps).toHaveCount(2);
  await expect(sweeps.first()).toContainText('check');
  await expect(sweeps.last()).toContainText('as new');
  expect(complaints).toEqual([]);
});
