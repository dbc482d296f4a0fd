/** What the server says with every response holds in the browser too, in the worker as in the page. */
import type { Response } from '@playwright/test';
import { openPage } from './bench-page.ts';
import { expect, test } from './browser.ts';

test('every response carries the content policy, nosniff and no-referrer, the worker’s script included', async ({
  served,
  open,
}) => {
  const { page, complaints } = await open();
  const responses: Response[] = [];
  page.context().on('response', (response) => responses.push(response));
  await openPage(page, served.origin);
  await expect.poll(() => page.workers().length).toBe(1);

  const worker = page.workers()[0]!;
  const script = await page.request.get(worker.url());
  const all = [...responses.map((response) => ({ url: response.url(), headers: response.headers() }))];
  all.push({ url: worker.url(), headers: script.headers() });
  all.push({
    url: 'a missing file',
    headers: (await page.request.get(`${served.origin}/no-such-file`)).headers(),
  });
  expect(all.length).toBeGreaterThan(4);
  for (const { url, headers } of all) {
    expect(headers['content-security-policy'], url).toContain("default-src 'none'");
    expect(headers['content-security-policy'], url).not.toContain('unsafe');
    expect(headers['x-content-type-options'], url).toBe('nosniff');
    expect(headers['referrer-policy'], url).toBe('no-referrer');
    expect(headers['permissions-policy'], url).toContain('serial=(self)');
  }
  expect(complaints).toEqual([]);
});

test('in the worker neither a foreign address nor code from a string is let through', async ({
  served,
  open,
}) => {
  const { page } = await open();
  await openPage(page, served.origin);
  await expect.poll(() => page.workers().length).toBe(1);
  const worker = page.workers()[0]!;
  const tried = await worker.evaluate(async () => {
    const violated = new Promise<string>((done) => {
      self.addEventListener('securitypolicyviolation', (event) => done(event.effectiveDirective));
    });
    const fetched = await fetch('http://127.0.0.1:9/').then(
      () => 'fetched',
      () => 'refused',
    );
    return { fetched, directive: await violated };
  });
  expect(tried).toEqual({ fetched: 'refused', directive: 'connect-src' });
});

test('the built worker carries the distributions, the page does not', async ({ served, open }) => {
  const { page } = await open();
  const scripts = new Map<string, string>();
  page.on('response', async (response) => {
    if (response.url().endsWith('.js')) scripts.set(response.url(), await response.text().catch(() => ''));
  });
  await openPage(page, served.origin);
  await expect.poll(() => page.workers().length).toBe(1);
  // A sentence of @stdlib's own that survives minification; the worker fetches it when an instrument is opened.
  const mark = 'Cannot specify one or more accessors';
  const fetched: string[] = [];
  const texts = new Map<string, string>();
  for (const todo = [page.workers()[0]!.url()]; todo.length > 0;) {
    const url = todo.pop()!;
    if (texts.has(url)) continue;
    texts.set(url, await (await page.request.get(url)).text());
    for (const [, name] of texts.get(url)!.matchAll(/["'`]\.\/([\w-]+\.js)["'`]/g))
      todo.push(new URL(name!, url).href);
    if (texts.get(url)!.includes(mark)) fetched.push(url);
  }
  expect(fetched.length).toBeGreaterThan(0);
  for (const [url, text] of scripts) {
    if (url !== page.workers()[0]!.url()) expect(text, url).not.toContain(mark);
  }
  expect(scripts.size).toBeGreaterThan(0);
});
