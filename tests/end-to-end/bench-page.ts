/** Steps a person takes on the page, by the words the page shows. */
import { expect, type Locator, type Page } from '@playwright/test';
import { words } from '../../web/wording/page.ts';

export { words };

export function button(page: Page, name: string): Locator {
  return page.getByRole('button', { name });
}

/** The page's draws (seeds of the invented tip, bench and order) begin at this number: a run can be repeated. */
export async function drawFrom(page: Page, seed: number): Promise<void> {
  await page.addInitScript((first) => {
    let next = first;
    const real = crypto.getRandomValues.bind(crypto);
    crypto.getRandomValues = ((array: Uint32Array<ArrayBuffer>) => {
      if (!(array instanceof Uint32Array) || array.length !== 1) return real(array);
      next = (Math.imul(next, 1664525) + 1013904223) >>> 0;
      array[0] = next;
      return array;
    }) as typeof crypto.getRandomValues;
  }, seed);
}

export async function openPage(page: Page, origin: string): Promise<void> {
  await page.goto(`${origin}/#/bench`);
  await expect(page.getByRole('heading', { name: words.choice.title })).toBeVisible();
}

/** Fill in a field of the set-up by its label. */
export async function fill(page: Page, label: string, value: string): Promise<void> {
  await page.getByLabel(label, { exact: true }).fill(value);
}

export interface SimulatedPlan {
  readonly speed?: '1x' | '5x' | '20x';
  readonly settings?: string;
  readonly catches?: string;
  /** Conditions and the fault to find, by the words they are chosen by. */
  readonly scenario?: string;
  readonly fault?: string;
}

/** First choice, the simulated bench, and Go. @param more what else is done in the set-up, with its plan open. */
export async function goSimulated(
  page: Page,
  plan: SimulatedPlan = {},
  more?: () => Promise<void>,
): Promise<void> {
  await button(page, words.choice.simulated).click();
  for (const chosen of [plan.speed ?? '20x', plan.scenario, plan.fault])
    if (chosen !== undefined) await page.getByRole('radio', { name: chosen, exact: true }).check();
  if (plan.settings !== undefined || plan.catches !== undefined || more !== undefined) {
    await page.getByText(words.setup.details, { exact: true }).click();
    if (plan.settings !== undefined) await fill(page, words.setup.settings, plan.settings);
    if (plan.catches !== undefined) await fill(page, words.setup.catches, plan.catches);
    await more?.();
  }
  await page.getByRole('button', { name: words.setup.go, exact: true }).click();
}

/** From a result: another sweep begins at the same set-up, and the first choice stands one step before it. */
export async function toFirstChoice(page: Page): Promise<void> {
  await button(page, words.result.again).click();
  await page.getByRole('button', { name: words.back, exact: true }).click();
  await expect(page.getByRole('heading', { name: words.choice.title })).toBeVisible();
}

/** Counts, from now on, everything that comes from a hand. */
export async function countTouches(page: Page): Promise<() => Promise<number>> {
  await page.evaluate(() => {
    const counted = { touches: 0 };
    Object.assign(globalThis, { counted });
    for (const kind of ['keydown', 'pointerdown']) addEventListener(kind, () => (counted.touches += 1), true);
  });
  return () =>
    page.evaluate(() => (globalThis as unknown as { counted: { touches: number } }).counted.touches);
}

/** Every sentence the page tells a screen reader: at 20x the instruction on the screen may stand too short to be seen. */
export const SPOKEN = '.frame > p[role="status"]';
/** The one line of instruction, or the result's sentence. */
export const HEADLINE = 'main h1';

/** What `selector` shows, noted as it comes, a line each. Call when the page is open. */
export async function noteLines(page: Page, selector: string): Promise<() => Promise<string[]>> {
  await page.evaluate((what) => {
    const told: string[] = [];
    Object.assign(globalThis, { [`told ${what}`]: told });
    const note = (): void => {
      const line = document.querySelector(what)?.textContent.replace(/\s+/g, ' ').trim();
      if (line !== undefined && line !== told.at(-1)) told.push(line);
    };
    new MutationObserver(note).observe(document.body, {
      subtree: true,
      childList: true,
      characterData: true,
    });
  }, selector);
  return () =>
    page.evaluate((what) => (globalThis as unknown as Record<string, string[]>)[`told ${what}`]!, selector);
}

/** Rows of the table of catches: what each cell shows, its buttons left out. */
export async function catchRows(page: Page): Promise<string[][]> {
  const table = page.getByRole('table', { name: words.table.caption });
  return table.locator('tbody tr').evaluateAll((rows) =>
    rows.map((row) =>
      [...row.querySelectorAll('td')].map((cell) => {
        const told = cell.cloneNode(true) as HTMLElement;
        told.querySelectorAll('button').forEach((press) => press.remove());
        return told.textContent.replace(/\s+/g, ' ').trim();
      }),
    ),
  );
}

/** The pattern with any white space where it has a space: figures and units are kept together by one that does not break. */
export function said(pattern: RegExp): RegExp {
  return new RegExp(pattern.source.replaceAll(' ', '\\s+'), pattern.flags);
}

/** Every number in a text, thousands separators not used by the page. */
export function numbersIn(text: string): number[] {
  return [...text.replaceAll('\u2212', '-').matchAll(/-?\d+(?:\.\d+)?(?:e-?\d+)?/g)].map(Number);
}

/** The simulated sweep is done when the page tells what the tip really was. */
export function truthLine(page: Page): Locator {
  return page.getByTestId('truth');
}

/**
 * The browser's list of ports can't be answered in a headless browser (its promise never settles): only that one call is
 * answered here, with the first port the page may use. Everything after it is the browser's own.
 */
export async function pickFirstPort(page: Page): Promise<void> {
  await page.addInitScript(() => {
    navigator.serial.requestPort = async () => {
      const [port] = await navigator.serial.getPorts();
      if (port === undefined) throw new DOMException('No port selected by the user.', 'NotFoundError');
      return port;
    };
  });
}

/**
 * Listens beside the page to what its worker tells it: from now on `newestSeen` knows the newest moment the page has seen.
 * Call before the page is opened.
 */
export async function watchTrace(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const seen = { newest_s: -Infinity };
    Object.assign(globalThis, { traceSeen: seen });
    // eslint-disable-next-line @typescript-eslint/unbound-method -- called below with the port it is asked of
    const real = MessagePort.prototype.start;
    // Every port the page opens is started once; the trace comes through one of them.
    MessagePort.prototype.start = function (this: MessagePort) {
      this.addEventListener('message', ({ data }: MessageEvent) => {
        const told = data as { path?: string[]; argumentList?: { value?: { time_s?: unknown } }[] } | null;
        const times = told?.argumentList?.[0]?.value?.time_s;
        if (told?.path?.[0] !== 'trace' || !(times instanceof Float64Array) || times.length === 0) return;
        seen.newest_s = times[times.length - 1]!;
      });
      real.call(this);
    };
  });
}

/** The newest moment of the live trace the page was told of, in the sweep's (the capture's) own seconds. */
export function newestSeen(page: Page): Promise<number> {
  return page.evaluate(
    () => (globalThis as unknown as { traceSeen: { newest_s: number } }).traceSeen.newest_s,
  );
}
