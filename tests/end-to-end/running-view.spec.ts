/** What only a laid-out page can show: nothing jumps, nothing covers the instruction, the mark stays, the focus is where the act is. */
import type { Page } from '@playwright/test';
import {
  button,
  drawFrom,
  goSimulated,
  newestSeen,
  openPage,
  truthLine,
  watchTrace,
  words,
} from './bench-page.ts';
import { expect, test } from './browser.ts';

/**
 * Tops of what stands below the number, looked at in every frame until the number has shown `texts` different texts (its value, its ±
 * and its unit), so that the figures of a catch, of the settling and of the empty pail all had their turn.
 */
async function placesWhile(page: Page, texts: number): Promise<string[]> {
  await page.evaluate(() => {
    const seen = { places: new Set<string>(), texts: new Set<string>() };
    Object.assign(globalThis, { layoutSeen: seen });
    const look = (): void => {
      const number = document.querySelector('[data-testid="big-number"]');
      const tops = ['main h1', '.curve', '.actions'].map((what) =>
        Math.round((document.querySelector(what)?.getBoundingClientRect().top ?? -1) / 2),
      );
      if (number === null || tops.includes(-1)) return; // the sweep has ended: the poll below tells whether too soon
      seen.places.add(tops.join(' '));
      seen.texts.add(number.textContent.replace(/\s+/g, ' ').trim());
      requestAnimationFrame(look);
    };
    requestAnimationFrame(look);
  });
  const seen = () =>
    page.evaluate(() => {
      const { places, texts: shown } = (
        globalThis as unknown as { layoutSeen: { places: Set<string>; texts: Set<string> } }
      ).layoutSeen;
      return { places: [...places], texts: shown.size };
    });
  await expect.poll(async () => (await seen()).texts, { timeout: 60_000 }).toBeGreaterThanOrEqual(texts);
  return (await seen()).places;
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
    expect(await placesWhile(page, 40)).toHaveLength(1);
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
  await watchTrace(page);
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
  // The invented person would spray at once if it were asked: a pause is held until the button, here for a minute of the bench's time.
  const struck_s = await newestSeen(page);
  await expect.poll(() => newestSeen(page), { timeout: 30_000 }).toBeGreaterThan(struck_s + 60);
  await expect(page.getByText(words.table.struck, { exact: true })).toBeVisible();
  await button(page, words.result.oneMore).click();
  await expect(button(page, 'Pause')).toBeFocused();
  await expect(truthLine(page)).toBeVisible({ timeout: 60_000 });
  expect(complaints).toEqual([]);
});
