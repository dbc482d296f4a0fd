/** The Rack: a measured tip and what is said of it, the invented season, tips side by side, back and forward, by keys alone. */
import type { Locator, Page } from '@playwright/test';
import { wholeSentence } from '../../web/wording/because.ts';
import { comparedWords } from '../../web/wording/compared.ts';
import { rackWords } from '../../web/wording/rack.ts';
import { tipOrRigWords } from '../../web/wording/tip-or-rig.ts';
import { tipWords } from '../../web/wording/tip-page.ts';
import { drawFrom, goSimulated, openPage, said, truthLine, words } from './bench-page.ts';
import { expect, test } from './browser.ts';

const tips = (page: Page) => page.getByTestId('tips').getByRole('listitem');
const title = (page: Page) => page.getByRole('heading', { level: 1 });

async function openSeason(page: Page, origin: string): Promise<void> {
  await page.goto(`${origin}/#/rack`);
  await page.getByRole('link', { name: rackWords.toSeason }).click();
  await expect(title(page)).toHaveText(rackWords.seasonTitle);
}

test('a sweep puts its tip into the Rack; what is said of it is still there when the page is loaded again (draws from 5)', async ({
  served,
  open,
}) => {
  test.setTimeout(90_000);
  const { page, complaints } = await open();
  await drawFrom(page, 5);
  await openPage(page, served.origin);
  const toRack = () => page.getByRole('link', { name: words.rack, exact: true }).click();
  await toRack();
  await expect(page.getByText(rackWords.none)).toBeVisible();
  await page.getByRole('link', { name: rackWords.toBench }).click();
  await goSimulated(page, { settings: '20 60', catches: '1' });
  await expect(truthLine(page)).toBeVisible({ timeout: 60_000 });
  const gives = /gives ([\d.]+ gal\/min)/.exec((await title(page).textContent())!.replace(/\s+/g, ' '))![1]!;

  await toRack();
  await expect(tips(page)).toHaveCount(1);
  await expect(tips(page)).toContainText(said(/Invented tip.*simulated.*rated 0\.4 gal\/min at 40 psi/s));
  await tips(page).getByRole('heading').getByRole('link').click();
  await expect(title(page)).toContainText('Invented tip');
  await expect(page.getByText(`Gives ${gives}`)).toBeVisible();
  await page.getByLabel(tipWords.size).selectOption('04');
  await expect(title(page)).toContainText('size 04, red');
  await page.getByLabel(tipWords.note).fill('from the green box');
  await page.getByLabel(tipWords.note).blur();
  await expect(page.getByText(tipWords.kept, { exact: true })).toBeVisible();
  await page.getByLabel(tipWords.drawer).check();
  await expect(title(page)).toContainText(rackWords.drawerMark);
  await page.getByRole('button', { name: words.undo, exact: true }).click();
  await expect(title(page)).not.toContainText(rackWords.drawerMark);

  await page.reload();
  await expect(title(page)).toContainText(said(/Invented tip\s*size 04, red/));
  await expect(page.getByLabel(tipWords.note)).toHaveValue('from the green box');
  await expect(page.getByLabel(tipWords.drawer)).not.toBeChecked();
  // Its sweep is one step away, in the Log.
  await page.getByRole('link', { name: new RegExp(`^${words.logbook.open}: `) }).click();
  await expect(page.getByRole('table', { name: words.table.caption })).toBeVisible();
  expect(complaints).toEqual([]);
});

test('the simulated season: a tip over its weeks, tips side by side, tip or rig; the browser leads back and forward', async ({
  served,
  open,
}) => {
  const { page, complaints } = await open();
  await openSeason(page, served.origin);
  await expect(page.getByRole('main')).toContainText(rackWords.seasonLead);
  await expect(tips(page)).toHaveCount(8);

  const row = tips(page).filter({ hasText: 'Backpack B' });
  await expect(row).toContainText(said(/Worn, \d+ %/));
  await row.getByRole('heading').getByRole('link').click();
  await expect(title(page)).toContainText('Backpack B');
  await expect(page.getByTestId('finding')).toContainText(
    said(/Worn: [\d.]+ %, give or take [\d.]+, over its own/),
  );
  await expect(page.getByRole('img', { name: said(/ Marked at /) })).toBeVisible();
  const drift = page.getByTestId('drift');
  await expect(drift).toContainText(said(/Drifted: beyond the limit from .+ on, and still is/));
  await expect(drift).toContainText(
    said(/It gains about 0\.\d+ % a week\. At this pace it reaches \+10 % about .+\./),
  );
  await drift.getByText('Every check against the baseline').click();
  expect(await drift.getByRole('table').locator('tbody tr').count()).toBeGreaterThanOrEqual(14);
  // Nothing is kept of an invented tip.
  await expect(page.getByLabel(tipWords.note)).toBeDisabled();

  await page.goBack();
  await expect(title(page)).toHaveText(rackWords.seasonTitle);
  await page.goForward();
  await expect(title(page)).toContainText('Backpack B');
  await page.getByRole('link', { name: rackWords.back }).click();

  for (const name of ['Backpack A', 'Backpack B', 'Backpack C', 'Reel A'])
    await page.getByRole('checkbox', { name: `${rackWords.pick}: ${name}`, exact: true }).check();
  await page.getByRole('link', { name: `${rackWords.compareThese} (4)` }).click();
  await expect(title(page)).toHaveText(comparedWords.title);
  const pairs = page.getByTestId('pairs').getByRole('listitem');
  await expect(pairs).toHaveCount(3);
  await expect(pairs.nth(0)).toContainText(
    said(/^\s*Backpack B gives [\d.]+ % more than Backpack A, give or take [\d.]+\./),
  );
  await expect(pairs.nth(1)).toContainText(
    said(/^\s*Backpack C gives [\d.]+ % less than Backpack A, give or take [\d.]+\./),
  );
  // Another rig, another dial: no number without something that ties the two together.
  await expect(pairs.nth(2)).toContainText(
    `Reel A and Backpack A can’t be compared. ${wholeSentence('rigs-not-tied')}`,
  );
  const table = page.getByRole('table', { name: comparedWords.table });
  await expect(table.getByRole('rowheader')).toHaveText(['Backpack B', 'Backpack C']);
  await page.getByLabel(comparedWords.against, { exact: true }).selectOption('Backpack B');
  await expect(pairs.nth(0)).toContainText(said(/^\s*Backpack A gives [\d.]+ % less than Backpack B/));
  await page.goBack();
  await expect(pairs.nth(0)).toContainText(said(/^\s*Backpack B gives/));
  await page.goBack();
  await expect(title(page)).toHaveText(rackWords.seasonTitle);

  const rig = page.getByTestId('tip-or-rig').filter({ hasText: 'Invented backpack' });
  await expect(rig).toContainText(said(/Backpack B is off by itself: \+[\d.]+ %, give or take [\d.]+\./));
  await expect(rig).toContainText('A tip from the drawer holds it down');
  const blamed = rig.getByRole('table', { name: tipOrRigWords.caption }).getByRole('row');
  await expect(blamed.filter({ hasText: 'Backpack B' })).toContainText('the tip');
  await page.getByRole('link', { name: rackWords.toBook }).click();
  await expect(page.getByText(rackWords.none)).toBeVisible();
  expect(complaints).toEqual([]);
});

/** Tab, and again, until the focus is there. */
async function tabTo(page: Page, wanted: Locator, most = 60): Promise<void> {
  for (let pressed = 0; pressed < most; pressed += 1) {
    if (await wanted.evaluate((one) => one === document.activeElement)) return;
    await page.keyboard.press('Tab');
  }
  await expect(wanted).toBeFocused();
}

test('the Rack by keys alone: into the season, a tip and back, two tips side by side, held against the other', async ({
  served,
  open,
}) => {
  const { page, complaints } = await open();
  await openPage(page, served.origin);
  await tabTo(page, page.getByRole('link', { name: words.rack, exact: true }));
  await page.keyboard.press('Enter');
  await expect(title(page)).toBeFocused();
  await tabTo(page, page.getByRole('link', { name: rackWords.toSeason }));
  await page.keyboard.press('Enter');
  await expect(title(page)).toHaveText(rackWords.seasonTitle);
  await expect(title(page)).toBeFocused();

  await tabTo(page, page.getByRole('link', { name: /^Reel B/ }));
  await page.keyboard.press('Enter');
  await expect(title(page)).toContainText('Reel B');
  await expect(title(page)).toBeFocused();
  await page.keyboard.press('Shift+Tab');
  await expect(page.getByRole('link', { name: rackWords.back })).toBeFocused();
  await page.keyboard.press('Enter');
  await expect(title(page)).toHaveText(rackWords.seasonTitle);

  for (const name of ['Backpack A', 'Backpack B']) {
    const box = page.getByRole('checkbox', { name: `${rackWords.pick}: ${name}`, exact: true });
    await tabTo(page, box);
    await page.keyboard.press('Space');
    await expect(box).toBeChecked();
  }
  await tabTo(page, page.getByRole('link', { name: `${rackWords.compareThese} (2)` }));
  await page.keyboard.press('Enter');
  await expect(title(page)).toBeFocused();
  await tabTo(page, page.getByLabel(comparedWords.against, { exact: true }));
  await page.keyboard.press('ArrowDown');
  await expect(page.getByTestId('pairs')).toContainText(
    said(/Backpack A gives [\d.]+ % less than Backpack B/),
  );
  await expect(page.getByLabel(comparedWords.against, { exact: true })).toHaveValue(/backpack b/i);
  expect(complaints).toEqual([]);
});
