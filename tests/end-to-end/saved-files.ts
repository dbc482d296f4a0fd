/** What the page saves, read back, and what the terminal says of it. */
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page, TestInfo } from '@playwright/test';
import type { Budget, CaptureBudgets } from '../../src/analysis/budget/budget.ts';
import type { Analysis } from '../../src/analysis/sweep/analysis.ts';
import { shownUnits } from '../../web/wording/units.ts';
import { button, words } from './bench-page.ts';
import { expect, ROOT } from './browser.ts';

async function saved(page: Page, name: string, file: string): Promise<string> {
  const saving = page.waitForEvent('download');
  await page.getByRole('button', { name, exact: true }).click();
  await (await saving).saveAs(file);
  return file;
}

/** The capture of the result that stands on the page; where it was saved. */
export function savedCapture(page: Page, info: TestInfo): Promise<string> {
  return saved(page, words.result.export, info.outputPath('sweep.txt'));
}

/** One step deeper: what the ± are made of. */
export async function openBudget(page: Page): Promise<void> {
  const save = button(page, words.result.budgetSave);
  if (!(await save.isVisible())) await page.getByText(words.result.more, { exact: true }).click();
  await expect(save).toBeVisible();
}

export interface SavedBudget {
  readonly of: string;
  readonly catchNumber: number | null;
  readonly budget: Budget;
}

/** The budgets of the result that stands on the page. */
export async function savedBudgets(page: Page, info: TestInfo): Promise<readonly SavedBudget[]> {
  await openBudget(page);
  const file = await saved(page, words.result.budgetSave, info.outputPath('budget.json'));
  const read = JSON.parse(readFileSync(file, 'utf8')) as { simulated: boolean; budgets: SavedBudget[] };
  expect(read.simulated).toBe(true);
  return read.budgets;
}

/** What the terminal says of one capture. */
export function analysedInTerminal(file: string): Analysis & { readonly budget: CaptureBudgets } {
  const run = spawnSync(process.execPath, [join(ROOT, '.config/terminal.mjs'), 'analyse', file, '--budget'], {
    encoding: 'utf8',
    maxBuffer: 1e8,
  });
  expect(run.status, run.stderr).toBe(0);
  expect(run.stdout.trim().split('\n')).toHaveLength(1);
  return JSON.parse(run.stdout) as Analysis & { readonly budget: CaptureBudgets };
}

/** A flow as the page shows it, in gal/min, is this one in SI: to the last figure that is shown. */
export function expectSameFlow(shown: string, flow_m3_per_s: number | null): void {
  const decimals = shown.split('.')[1]?.length ?? 0;
  expect(shownUnits.us.flow.fromSI(flow_m3_per_s ?? NaN).toFixed(decimals)).toBe(shown);
}
