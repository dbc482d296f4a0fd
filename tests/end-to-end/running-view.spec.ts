/** What only a laid-out page can show: nothing jumps, nothing covers the instruction, the mark stays, the focus is where the act is. */
import type { Page } from '@playwright/test';
import { button, drawFrom, goSimulated, openPage, truthLine, words } from './bench-page.ts';
import { expect, test } from './browser.ts';

/** Tops of what stands below the number, as often as the page can be asked for some seconds. */
async function placesOverTime(page: Page, seconds: number): Promise<Set<string>> {
  const seen = new Set<string>();
  const until = Date.now() + seconds * 1000;
  while (Date.now() < until) {
    const tops = await page.evaluate(() =>
      ['main h1', '.curve', '.actions'].map((what) =>
        Math.round((document.querySelector(what)?.getBoundingClientRect().top ?? -1) / 2),
      ),
    );
    if (tops.includes(-1)) break;
    seen.add(tops.join(' '));
    await page.waitForTimeout(60);
  }
  return seen;
}

for (const [name, viewport] of [
  ['laptop', { width: 1280, height: 800 }],
  ['phone', { width: 390, height: 844 }],
] as const) {
  test(`on a ${name} the screen begins at its top and nothing below the number moves, whatever digits it shows`, async ({
    served,
    open,
  }) => {
    const { page } = await open({ viewport });
    await drawFrom(page, 11);
    await openPage(page, served.origin);
    await goSimulated(page);
    await expect(button(page, 'Pause')).toBeFocused();
    expect(await page.evaluate(() => scrollY)).toBe(0);
    const places = await placesOverTime(page, 10);
    expect([...places]).toHaveLength(1);
    await page.evaluate(() => scrollTo(0, 500));
    await expect(page.getByRole('banner').getByText(words.simulated, { exact: true })).toBeInViewport();
  });
}

test('on a low screen no bar stays over the instruction', async ({ served, open }) => {
  const { page } = await open({ viewport: { width: 640, height: 400 } });
  await openPage(page, served.origin);
  await goSimulated(page, { speed: '1x' });
  await expect(button(page, 'Pause')).toBeFocused();
  const positions = await page.evaluate(() =>
    ['nav', '.actions'].map((what) => getComputedStyle(document.querySelector(what)!).position),
  );
  expect(positions).toEqual(['static', 'static']);
  await expect(page.getByRole('heading', { level: 1 })).toBeInViewport({ ratio: 1 });
});

test('space pauses while the focus is on the chosen speed, and a strike at the result stays there until the person goes on', async ({
  served,
  open,
}) => {
  test.setTimeout(120_000);
  const { page, complaints } = await open();
  await drawFrom(page, 5);
  await openPage(page, served.origin);
  await goSimulated(page, { settings: '40', catches: '1' });
  await expect(button(page, 'Pause')).toBeFocused();
  await page.getByRole('radio', { name: '20x', exact: true }).focus();
  await page.keyboard.press('Space');
  await expect(button(page, 'Go on')).toBeVisible();
  await page.keyboard.press('Space');
  await expect(truthLine(page)).toBeVisible({ timeout: 60_000 });
  await expect(page.getByRole('heading', { level: 1 })).toBeFocused();

  await page
    .getByRole('button', { name: /^Strike out \d/ })
    .last()
    .click();
  await button(page, words.running.reasons[0]).click();
  await expect(button(page, words.result.oneMore)).toBeFocused();
  // The invented person would spray at once if it were asked: a pause is held until the button.
  await page.waitForTimeout(3000);
  await expect(page.getByText(words.table.struck, { exact: true })).toBeVisible();
  await button(page, words.result.oneMore).click();
  await expect(button(page, 'Pause')).toBeFocused();
  await expect(truthLine(page)).toBeVisible({ timeout: 60_000 });
  expect(complaints).toEqual([]);
});
