/** A sweep saved as a capture gives the same numbers again: in the page, and in the terminal. */
import { spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from '@playwright/test';
import { becauseSentences, wholeSentence } from '../../web/wording/because.ts';
import { shownUnits } from '../../web/wording/units.ts';
import {
  button,
  catchRows,
  drawFrom,
  goSimulated,
  openPage,
  truthLine,
  toFirstChoice,
  words,
} from './bench-page.ts';
import { expect, ROOT, test } from './browser.ts';

async function pick(page: Page, name: string, content: string | Buffer): Promise<void> {
  await page
    .locator('input[type=file]')
    .setInputFiles({ name, mimeType: 'text/plain', buffer: Buffer.from(content) });
}

test('the exported capture of a sweep, opened again and analysed in the terminal, gives the numbers of the screen', async ({
  served,
  open,
}, info) => {
  test.setTimeout(120_000);
  const { page, complaints } = await open();
  await drawFrom(page, 5);
  await openPage(page, served.origin);
  await goSimulated(page, { settings: '20 40 60', catches: '1' });
  await expect(truthLine(page)).toBeVisible({ timeout: 60_000 });
  const onScreen = await catchRows(page);
  const headline = await page.getByRole('heading', { level: 1 }).textContent();

  const saving = page.waitForEvent('download');
  await button(page, words.result.export).click();
  const file = info.outputPath('sweep.txt');
  await (await saving).saveAs(file);
  expect(readFileSync(file, 'utf8')).toMatch(/^#catchbench-capture 1\n/);
  expect(readFileSync(file, 'utf8')).toContain('# simulated: true');

  await toFirstChoice(page);
  await button(page, words.choice.capture).click();
  await pick(page, 'sweep.txt', readFileSync(file));
  await expect(page.getByRole('table', { name: words.table.caption })).toBeVisible({ timeout: 30_000 });
  expect(await catchRows(page)).toEqual(onScreen);
  await expect(page.getByRole('heading', { level: 1 })).toContainText(
    headline!.replace(/^.* gives /, ' gives '),
  );

  const run = spawnSync(process.execPath, [join(ROOT, '.config/terminal.mjs'), 'analyse', file], {
    encoding: 'utf8',
  });
  expect(run.status, run.stderr).toBe(0);
  expect(run.stdout.trim().split('\n')).toHaveLength(1);
  const analysis = JSON.parse(run.stdout) as {
    format: string;
    simulated: boolean;
    catches: { flow_m3_per_s: number | null }[];
    curve: { nozzleConstant_m3_per_s_per_sqrtPa: number };
  };
  expect(analysis).toMatchObject({ format: 'catchbench-analysis 1', simulated: true });
  expect(analysis.catches).toHaveLength(onScreen.length);
  onScreen.forEach(([, , flow], index) => {
    const decimals = flow!.split('.')[1]?.length ?? 0;
    const told = shownUnits.us.flow.fromSI(analysis.catches[index]!.flow_m3_per_s!);
    expect(told.toFixed(decimals)).toBe(flow);
  });
  expect(analysis.curve.nozzleConstant_m3_per_s_per_sqrtPa).toBeGreaterThan(0);
  expect(complaints).toEqual([]);
});

const header = '#catchbench-capture 1\n# instrument: scale\n# startedAt: 2026-05-04T09:12:00Z\n# unit: g\n';

for (const { what, content, because } of [
  {
    what: 'a picture',
    content: Buffer.from([0x89, 0x50, 0x4e, 0x47, 0, 1, 2, 255]),
    because: 'not-a-capture',
  },
  { what: 'an empty file', content: '', because: 'capture-empty' },
  {
    what: 'a capture of a newer version',
    content: '#catchbench-capture 9\n# instrument: scale\n',
    because: 'capture-version-newer',
  },
  {
    what: 'a capture of no instrument we know',
    content: header.replace('scale', 'kettle'),
    because: 'capture-header-wrong',
  },
]) {
  test(`${what} opened as a capture gets a plain sentence and no number`, async ({ served, open }) => {
    const { page, complaints } = await open();
    await openPage(page, served.origin);
    await button(page, words.choice.capture).click();
    await pick(page, 'file.txt', content);
    const said = page.locator(`[data-because="${because}"]`);
    await expect(said).toBeVisible();
    await expect(said).toContainText(/[.!]/);
    await expect(page.getByRole('table', { name: words.table.caption })).toHaveCount(0);
    expect(complaints).toEqual([]);
  });
}

test('a capture cut short in the middle of a line is read up to there, and says so', async ({
  served,
  open,
}, info) => {
  const { page } = await open();
  const made = spawnSync(
    process.execPath,
    [join(ROOT, '.config/terminal.mjs'), 'simulate', '--scenario', 'typical', '--seed', '3', '--fills', '4'],
    { encoding: 'utf8', maxBuffer: 1e8 },
  );
  expect(made.status, made.stderr).toBe(0);
  writeFileSync(info.outputPath('whole.txt'), made.stdout);
  await openPage(page, served.origin);
  await button(page, words.choice.capture).click();
  await pick(page, 'cut.txt', made.stdout.slice(0, Math.floor(made.stdout.length * 0.8) - 3));
  await expect(page.getByRole('table', { name: words.table.caption })).toBeVisible({ timeout: 30_000 });
  expect((await catchRows(page)).length).toBeGreaterThanOrEqual(2);
  // In sight, not in a fold.
  await expect(page.getByTestId('trust')).toContainText(becauseSentences['capture-cut-short'].what);
});

test('a capture without a single catch shows no number, and says why', async ({ served, open }) => {
  const { page, complaints } = await open();
  await openPage(page, served.origin);
  await button(page, words.choice.capture).click();
  const still = Array.from({ length: 100 }, (_, i) => `${(i / 10).toFixed(4)}\t  512.0 g`).join('\n');
  await pick(page, 'still.txt', `${header}${still}\n`);
  await expect(page.getByText('still.txt')).toBeVisible();
  await expect(page.getByText(wholeSentence('no-catches'))).toBeVisible();
  await expect(page.getByText(/gal\/min, give or take/)).toHaveCount(0);
  expect(complaints).toEqual([]);
});
