/** axe on every place in every theme, and nothing that runs out of a narrow phone. */
import AxeBuilder from '@axe-core/playwright';
import type { Page } from '@playwright/test';
import { checkWords, decisionWords } from '../../web/wording/checks.ts';
import { rigWords } from '../../web/wording/rig-words.ts';
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
  const { violations } = await new AxeBuilder({ page })
    .withTags(['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'])
    .analyze();
  const found = violations.map(
    ({ id, nodes }) => `${where}: ${id} at ${nodes.map((node) => node.target.join(' ')).join(', ')}`,
  );
  const over_px = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
  return over_px > 0 ? [...found, `${where}: ${String(over_px)} px wider than the window`] : found;
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

for (const [name, viewport] of [
  ['laptop', { width: 1280, height: 800 }],
  ['narrow phone', { width: 320, height: 640 }],
] as const) {
  test(`every place is accessible in every theme on a ${name}`, async ({ served, open }) => {
    test.setTimeout(120_000);
    const { page, complaints } = await open({ viewport });
    await openPage(page, served.origin);
    const found: string[] = [];
    for (const theme of themes) {
      await chooseTheme(page, theme);
      found.push(...(await everyPlace(page, theme)));
    }
    expect(found).toEqual([]);
    expect(complaints).toEqual([]);
  });

  test(`a running sweep and its result are accessible in every theme on a ${name}`, async ({
    served,
    open,
  }) => {
    test.setTimeout(120_000);
    const { page, complaints } = await open({ viewport });
    await drawFrom(page, 9);
    await openPage(page, served.origin);
    await goSimulated(page, { speed: '5x', settings: '30 60', catches: '1' });
    await expect(page.getByRole('heading', { name: /^Keep spraying/ })).toBeVisible({ timeout: 30_000 });
    const found: string[] = [];
    for (const theme of themes) {
      await chooseTheme(page, theme);
      found.push(...(await faults(page, `${theme}, running`)));
    }
    await page.getByRole('radio', { name: '20x', exact: true }).check();
    await expect(truthLine(page)).toBeVisible({ timeout: 60_000 });
    for (const theme of themes) {
      await chooseTheme(page, theme);
      found.push(...(await faults(page, `${theme}, result`)));
    }
    expect(found).toEqual([]);
    expect(complaints).toEqual([]);
  });
}

test("checks, the rigs' set-up, one pour and the budget are accessible in every theme, and on a narrow phone", async ({
  served,
  open,
}) => {
  test.setTimeout(120_000);
  const { page, complaints } = await open();
  await drawFrom(page, 9);
  await openPage(page, served.origin);
  const found: string[] = [];
  // Colours do not know how wide the window is: the phone is looked at in the theme with the thickest strokes.
  const look = async (place: string) => {
    for (const theme of themes) {
      await chooseTheme(page, theme);
      found.push(...(await faults(page, `${theme}, ${place}`)));
    }
    await page.setViewportSize({ width: 320, height: 640 });
    found.push(...(await faults(page, `${themes.at(-1)!}, narrow phone, ${place}`)));
    await page.setViewportSize({ width: 1280, height: 800 });
  };
  const choose = (option: string) => page.getByRole('radio', { name: option, exact: true }).check();

  await button(page, words.choice.simulated).click();
  await page.getByText(words.setup.details, { exact: true }).click();
  await choose(words.setup.sensorThere);
  await choose(words.setup.fromSensor);
  await choose(rigWords.kinds['pumped-while-spraying']);
  await look('set-up, pumped by hand, settings read by the sensor');
  await choose(words.setup.sensorNone);
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
