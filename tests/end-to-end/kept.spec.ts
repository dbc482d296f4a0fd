/** Nothing is lost: the power cut in the middle of a catch costs that catch only. */
import { catchRows, drawFrom, goSimulated, openPage, truthLine, words } from './bench-page.ts';
import { expect, test } from './browser.ts';

test('the browser killed in the middle of a catch: reopened, the sweep is there with what was caught, and goes on to its end', async ({
  served,
  open,
}) => {
  test.setTimeout(150_000);
  const first = await open();
  await drawFrom(first.page, 21);
  await openPage(first.page, served.origin);
  await goSimulated(first.page, { settings: '20 40 60', catches: '2' });

  // Three catches kept, and the fourth one under way.
  const table = first.page.getByText(words.running.tableTitle);
  await expect(table).toContainText('3 of 6', { timeout: 60_000 });
  await expect(first.page.getByRole('heading', { name: /^Keep spraying/ })).toBeVisible({ timeout: 30_000 });
  await table.click();
  const before = (await catchRows(first.page)).slice(0, 3);
  expect(before).toHaveLength(3);
  await first.kill();

  const again = await open({ profile: first.profile });
  await drawFrom(again.page, 22);
  await openPage(again.page, served.origin);
  await again.page.getByRole('link', { name: words.choice.unfinishedGo }).click();
  await expect(again.page.getByText(words.logbook.unfinished)).toBeVisible();
  await again.page.getByRole('button', { name: words.logbook.goOn, exact: true }).click();

  await expect(again.page.getByText(words.running.tableTitle)).toBeVisible();
  await again.page.getByText(words.running.tableTitle).click();
  const kept = await catchRows(again.page);
  expect(kept.slice(0, 3).map((row) => row.slice(0, 4))).toEqual(before.map((row) => row.slice(0, 4)));

  await expect(truthLine(again.page)).toBeVisible({ timeout: 90_000 });
  const rows = await catchRows(again.page);
  // With more of the recording known, the estimators may move a number in its last place, never by a good part of its ±.
  before.forEach(([number, setting, flow, plusMinus], index) => {
    expect(rows[index]!.slice(0, 2)).toEqual([number, setting]);
    expect(Math.abs(Number(rows[index]![2]) - Number(flow))).toBeLessThan(Number(plusMinus) / 2);
  });
  const good = rows.filter((row) => /^(good|doubtful)/.test(row[5]!));
  expect(good.map((row) => row[1]).sort()).toEqual([
    '20 psi',
    '20 psi',
    '40 psi',
    '40 psi',
    '60 psi',
    '60 psi',
  ]);
  expect(again.complaints).toEqual([]);
});
