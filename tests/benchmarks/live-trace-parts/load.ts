import { readFileSync, writeFileSync } from 'node:fs';
import type { Page } from '@playwright/test';
import { sealBenchSentence } from '../../../src/signal/lines/crc16.ts';
import { button, fill, openPage, pickFirstPort, words } from '../../end-to-end/bench-page.ts';
import { test } from '../../end-to-end/browser.ts';

const LINES_PER_SECOND = 400;
const GRAMS_PER_COUNT = 0.01;
const FLOW_G_PER_S = 20;

interface LongTask {
  readonly start_ms: number;
  readonly duration_ms: number;
  readonly name: string;
}

test('live trace under load', async ({ served, rig, open }) => {
  const seconds = Number(process.env['TRACE_SECONDS']);
  const board = await rig.plugIn({});
  const { page } = await open({ rig });
  await watchLongTasks(page);
  await pickFirstPort(page);
  await openPage(page, served.origin);
  await button(page, words.choice.instrument).click();
  await page.getByRole('radio', { name: words.instrument.board, exact: true }).check();
  await fill(page, words.instrument.gramsPerCount, String(GRAMS_PER_COUNT));
  await button(page, words.instrument.open).click();
  await board.told('configured');
  let sent = 0;
  const began_ms = performance.now();
  const sending = setInterval(() => {
    const due = Math.floor(((performance.now() - began_ms) / 1000) * LINES_PER_SECOND);
    let text = '';
    for (; sent < due; sent += 1) text += boardLine(sent);
    board.send(Buffer.from(text, 'latin1'));
  }, 10);
  try {
    await page.getByTestId('mass').waitFor();
    await button(page, words.instrument.goOn).click();
    await fill(page, words.setup.tipName, 'load');
    await fill(page, words.setup.rigName, 'load');
    await page.getByRole('button', { name: words.setup.go, exact: true }).click();
    const linesSentWhenGoWasPressed = sent;
    await new Promise((resolve) => setTimeout(resolve, seconds * 1000));
    await button(page, words.running.end).click();
    const linesSentBeforeEndWasPressed = sent;
    await page.getByRole('button', { name: words.running.endYes, exact: true }).click();
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      button(page, words.result.export).click(),
    ]);
    const { firstPaint_ms, tasks } = await longTasks(page);
    const late = tasks.filter((task) => task.start_ms > firstPaint_ms + 2000);
    const longest = late.reduce<LongTask | null>(
      (a, b) => (a === null || b.duration_ms > a.duration_ms ? b : a),
      null,
    );
    writeFileSync(
      process.env['TRACE_RESULT'] ?? '/dev/stdout',
      JSON.stringify({
        linesPerSecond: LINES_PER_SECOND,
        seconds,
        linesSent: sent,
        linesSentWhenGoWasPressed,
        linesSentBeforeEndWasPressed,
        ...keptOf(readFileSync(await download.path(), 'latin1'), sent),
        longTasksOver50ms: late.length,
        longest,
        firstPaint_ms,
        allLongTasks: tasks,
      }),
    );
  } finally {
    clearInterval(sending);
  }
});

/** Ten seconds of quiet, then water that never stops. */
function boardLine(number: number): string {
  const t_s = number / LINES_PER_SECOND;
  const counts = Math.round((500 + FLOW_G_PER_S * Math.max(0, t_s - 10)) / GRAMS_PER_COUNT);
  return `${sealBenchSentence(`S,${number % 65536},${Math.round(t_s * 1e6) % 2 ** 32},${counts},0,,,00`)}\r\n`;
}

interface Kept {
  readonly linesInCapture: number;
  /** Numbers missing between the first and the last line of the capture: lost on the way. */
  readonly linesDropped: number;
  /** Sent while the set-up was still on the screen: no sweep, so no capture yet. */
  readonly linesBeforeGo: number;
  /** Sent after the capture's last line: while the sweep ended and the file was saved. */
  readonly linesAfterEnd: number;
}

/** Where each of the lines sent is, by the number each carries (0 for the first; 16 bits, unwrapped). */
function keptOf(capture: string, sent: number): Kept {
  const numbers = [...capture.matchAll(/\t\$S,(\d+),/g)].map(([, n]) => Number(n));
  const first = numbers[0] ?? 0;
  let last = first;
  let dropped = 0;
  for (const n of numbers.slice(1)) {
    const step = (((n - last) % 65536) + 65536) % 65536;
    dropped += step - 1;
    last += step;
  }
  return {
    linesInCapture: numbers.length,
    linesDropped: dropped,
    linesBeforeGo: first,
    linesAfterEnd: sent - 1 - last,
  };
}

async function watchLongTasks(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const told: LongTask[] = [];
    Object.assign(globalThis, { longTasksTold: told });
    new PerformanceObserver((list) => {
      for (const entry of list.getEntries())
        told.push({ start_ms: entry.startTime, duration_ms: entry.duration, name: entry.name });
    }).observe({ type: 'longtask', buffered: true });
  });
}

function longTasks(
  page: Page,
): Promise<{ readonly firstPaint_ms: number; readonly tasks: readonly LongTask[] }> {
  return page.evaluate(() => ({
    firstPaint_ms: performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? 0,
    tasks: (globalThis as unknown as { longTasksTold: LongTask[] }).longTasksTold,
  }));
}
