/** axe on every place in every theme, and nothing that runs out of a narrow phone. */
import AxeBuilder from '@axe-core/playwright';
import type { Page } from '@playwright/test';
import { checkWords, decisionWords } from '../../web/wording/checks.ts';
import { comparedWords } from '../../web/wording/compared.ts';
import { driftWords } from '../../web/wording/drift.ts';
import { rackWords } from '../../web/wording/rack.ts';
import { rigCheckWords } from '../../web/wording/rig-check.ts';
import { rigWords } from '../../web/wording/rig-words.ts';
import { faultNames } from '../../web/wording/simulated-faults.ts';
import { button, drawFrom, fill, goSimulated, openPage, truthLine, words } from './bench-page.ts';
import { expect, test } from './browser.ts';
import { openBudget } from './saved-files.ts';

const themes = [words.preferences.day, words.preferences.night, words.preferences.sun];

async function chooseTheme(page: Page, theme: string): Promise<void> {
  await button(page, words.preferences.title).click();
  await page.getByRole('radio', { name: theme, exact: true }).check();
  await button(page, words.preferences.title).click();
}

/** What axe finds against WCAG 2.2 AA, and whether the page is wider than its window. */
async function faults(page: Page, where: string): Promise<string[]> {
  // The page has no frames: without the second page that axe opens to gather them, each look takes half the time.
  const { violations } = await new AxeBuilder({ page })
    .setLegacyMode(true)
    .withTags(['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'])
    .analyze();
  const found = violations.map(
    ({ id, nodes }) => `${where}: ${id} at ${nodes.map((node) => node.target.join(' ')).join(', ')}`,
  );
  const over_px = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
  return over_px > 0 ? [...found, `${where}: ${String(over_px)} px wider than the window`] : found;
}

/** Looks at what stands there in every theme. Colours do not know how wide the window is: the phone gets the theme with the thickest strokes. */
async function lookInAll(page: Page, place: string): Promise<string[]> {
  const found: string[] = [];
  for (const theme of themes) {
    await chooseTheme(page, theme);
    found.push(...(await faults(page, `${theme}, ${place}`)));
  }
  await page.setViewportSize({ width: 320, height: 640 });
  found.push(...(await faults(page, `${themes.at(-1)!}, narrow phone, ${place}`)));
  await page.setViewportSize({ width: 1280, height: 800 });
  return found;
}

/** Walks through every place that needs no water. */
async function everyPlace(page: Page, theme: string): Promise<string[]> {
  const found: string[] = [];
  const look = async (place: string) => void found.push(...(await faults(page, `${theme}, ${place}`)));
  const back = () => page.getByRole('button', { name: words.back, exact: true }).click();

  await look('first choice');
  await button(page, words.preferences.title).click();
  await look('preferences');
  await button(page, words.preferences.title).click();
  await button(page, words.choice.instrument).click();
  await look('instrument');
  await back();
  await button(page, words.choice.simulated).click();
  await page.getByText(words.setup.details, { exact: true }).click();
  await look('set-up of the simulated bench');
  await fill(page, words.setup.settings, '-3 x');
  await button(page, words.setup.go).first().click();
  await look('set-up with something wrong');
  await back();
  await button(page, words.choice.byHand).click();
  await fill(page, words.setup.tipName, 'tip');
  await fill(page, words.setup.rigName, 'rig');
  await button(page, words.setup.toHand).click();
  await look('by hand');
  await back();
  await back();
  await button(page, words.choice.capture).click();
  await look('capture');
  await back();
  await page.getByRole('link', { name: words.log, exact: true }).click();
  await look('log');
  await page.getByRole('link', { name: words.bench, exact: true }).click();
  return found;
}

for (const { name, viewport, looked } of [
  { name: 'in every theme on a laptop', viewport: { width: 1280, height: 800 }, looked: themes },
  { name: 'on a narrow phone', viewport: { width: 320, height: 640 }, looked: themes.slice(-1) },
]) {
  test(`every place is accessible ${name}`, async ({ served, open }) => {
    test.setTimeout(120_000);
    const { page, complaints } = await open({ viewport });
    await openPage(page, served.origin);
    const found: string[] = [];
    for (const theme of looked) {
      await chooseTheme(page, theme);
      found.push(...(await everyPlace(page, theme)));
    }
    expect(found).toEqual([]);
    expect(complaints).toEqual([]);
  });
}

test('a running sweep and its result are accessible in every theme, and on a narrow phone', async ({
  served,
  open,
}) => {
  test.setTimeout(120_000);
  const { page, complaints } = await open();
  await drawFrom(page, 9);
  await openPage(page, served.origin);
  await goSimulated(page, { speed: '5x', settings: '30 60', catches: '1' });
  await expect(page.getByRole('heading', { name: /^Keep spraying/ })).toBeVisible({ timeout: 30_000 });
  // At the bench's own pace it runs for as long as it is looked at.
  await page.getByRole('radio', { name: '1x', exact: true }).check();
  const found = await lookInAll(page, 'running');
  await page.getByRole('radio', { name: '20x', exact: true }).check();
  await expect(truthLine(page)).toBeVisible({ timeout: 60_000 });
  found.push(...(await lookInAll(page, 'result')));
  expect(found).toEqual([]);
  expect(complaints).toEqual([]);
});

test("checks, the rigs' set-up, one pour and the budget are accessible in every theme, and on a narrow phone", async ({
  served,
  open,
}) => {
  test.setTimeout(120_000);
  const { page, complaints } = await open();
  await drawFrom(page, 9);
  await openPage(page, served.origin);
  const found: string[] = [];
  const look = async (place: string) => void found.push(...(await lookInAll(page, place)));
  const choose = (option: string) => page.getByRole('radio', { name: option, exact: true }).check();

  await button(page, words.choice.simulated).click();
  await page.getByText(words.setup.details, { exact: true }).click();
  await choose(words.setup.sensorThere);
  await choose(words.setup.fromSensor);
  await choose(rigWords.kinds['pumped-while-spraying']);
  await look('set-up, pumped by hand, settings read by the sensor');
  await page
    .getByRole('group', { name: words.setup.sensor })
    .getByRole('radio', { name: words.setup.sensorNone })
    .check();
  await choose(rigWords.kinds['hose-reel']);
  await choose(rigWords.onScaleSprayer);
  await choose(words.setup.onePour);
  await look('set-up, hose reel, sprayer on the scale, one pour');

  await choose(rigWords.kinds.held);
  await choose(rigWords.onScalePail);
  await fill(page, words.setup.settings, '25 60');
  await fill(page, words.setup.pours, '1');
  await button(page, checkWords.first).click();
  await choose(checkWords.water);
  await look('check, against water');
  await choose(checkWords.pieces);
  await fill(page, checkWords.amounts, '10 20'); // two, so that it runs for a while
  await page.getByRole('button', { name: checkWords.goScale, exact: true }).click();
  await expect(page.getByTestId('check-line')).toBeVisible();
  await look('check running');
  await expect(button(page, checkWords.stop)).toBeVisible(); // or it was not the running one that was looked at
  await expect(button(page, decisionWords.correct.label)).toBeVisible({ timeout: 60_000 });
  await look('check to be decided');
  await button(page, decisionWords.correct.label).click();
  await button(page, words.back).click();

  await choose('5x');
  await page.getByRole('button', { name: words.setup.go, exact: true }).click();
  await expect(page.getByRole('heading', { name: /^Keep spraying/ })).toBeVisible({ timeout: 30_000 });
  await choose('1x');
  await look('one pour running');
  await choose('20x');
  await expect(truthLine(page)).toBeVisible({ timeout: 60_000 });
  await openBudget(page);
  await look('result with its budget');
  expect(found).toEqual([]);
  expect(complaints).toEqual([]);
});

test('the Rack, a tip over its weeks, and tips side by side are accessible in every theme, and on a narrow phone', async ({
  served,
  open,
}) => {
  test.setTimeout(90_000);
  const { page, complaints } = await open();
  const found: string[] = [];
  const look = async (place: string) => void found.push(...(await lookInAll(page, place)));
  const title = page.getByRole('heading', { level: 1 });
  await page.goto(`${served.origin}/#/rack`);
  await expect(page.getByText(rackWords.none)).toBeVisible();
  await look('rack without a tip');
  await page.getByRole('link', { name: rackWords.toSeason }).click();
  await expect(title).toHaveText(rackWords.seasonTitle);
  for (const name of ['Backpack A', 'Backpack B', 'Reel A'])
    await page.getByRole('checkbox', { name: `${rackWords.pick}: ${name}`, exact: true }).check();
  await look('list of tips, tip or rig');
  await page.getByRole('link', { name: rackWords.compareThese }).click();
  await expect(title).toHaveText(comparedWords.title);
  await expect(page.getByTestId('pairs')).toBeVisible();
  await look('side by side');
  await page.goBack();
  await page.getByRole('link', { name: /^Backpack B/ }).click();
  await expect(title).toContainText('Backpack B');
  await page.getByText(driftWords.caption, { exact: true }).click();
  await look('a tip of the season');
  expect(found).toEqual([]);
  expect(complaints).toEqual([]);
});

test('routines in the set-up, a check of the rig and a result with its finding are accessible in every theme, and on a narrow phone', async ({
  served,
  open,
}) => {
  test.setTimeout(120_000);
  const { page, complaints } = await open();
  await drawFrom(page, 4);
  await openPage(page, served.origin);
  const found: string[] = [];
  const look = async (place: string) => void found.push(...(await lookInAll(page, place)));
  const choose = (option: string) => page.getByRole('radio', { name: option, exact: true }).check();

  await button(page, words.choice.simulated).click();
  await page.getByText(words.setup.details, { exact: true }).click();
  await choose(words.setup.boom);
  await look('set-up of a boom');
  await choose(words.setup.twoTips);
  await expect(page.getByTestId('tip-plan')).toBeVisible();
  await look('set-up of two tips in turn');
  await choose(words.setup.oneTip);
  await choose(words.setup.weeklyCheck);
  await look('set-up of a weekly check');
  await choose(words.setup.wholeCurve);
  await fill(page, words.setup.settings, '15 25 35 45 60');
  await fill(page, words.setup.catches, '1');
  await choose(words.scenarios.clean);
  await choose(faultNames['dial-high']);

  // At the bench's own pace it runs for as long as it is looked at.
  await choose('1x');
  await page.getByRole('button', { name: words.result.rigCheck, exact: true }).click();
  await choose(rigCheckWords.kinds['blank-tip']);
  await look('check of the rig, a blank tip');
  await choose(rigCheckWords.kinds['flow-stops-at']);
  await button(page, rigCheckWords.begin).click();
  await expect(page.getByTestId('rig-check-line')).toBeVisible();
  await look('check of the rig running');
  await button(page, rigCheckWords.stop).click();
  await expect(page.getByTestId('rig-check-left')).toBeVisible();
  await look('check of the rig, stopped');
  await button(page, rigCheckWords.isSafe).click();
  await button(page, words.back).click();

  await choose('20x');
  await page.getByRole('button', { name: words.setup.go, exact: true }).click();
  await expect(truthLine(page)).toBeVisible({ timeout: 60_000 });
  await expect(page.getByTestId('finding')).toBeVisible();
  await look('result with its finding');
  expect(found).toEqual([]);
  expect(complaints).toEqual([]);
});
