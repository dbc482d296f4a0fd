/**
 * The store in the real browser. (1) Kills: the browser's processes are ended at a random moment while it writes; after
 * reopening, everything that the store had answered for must be there and whole. (2) How long a write and the list take.
 *
 * npm run benchmark -- storage-writes [--kills=20] [--writes=200] [--sweeps=200] [--seed=1]
 */
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type * as Playwright from '@playwright/test';
import type { BrowserContext, Page } from '@playwright/test';
import type * as Vite from 'vite';
import type { Task, Told } from './storage-writes-parts/worker.ts';

interface KillResult {
  readonly written_ms: number;
  readonly chunksAnswered: number;
  readonly chunksFound: number;
  readonly catchesAnswered: number;
  readonly catchesFound: number;
  readonly whole: boolean;
}

export async function run(options: Readonly<Record<string, string>>) {
  const kills = Number(options['kills'] ?? 20);
  const writes = Number(options['writes'] ?? 200);
  const sweeps = Number(options['sweeps'] ?? 200);
  const random = seeded(Number(options['seed'] ?? 1));
  const served = await serveWorker();
  const profile = mkdtempSync(join(tmpdir(), 'catchbench-storage-'));
  try {
    const results: KillResult[] = [];
    for (let i = 0; i < kills; i += 1) {
      results.push(await killOnce(served.address, profile, 1000 * (i + 1), 200 + 1500 * random()));
    }
    const timed = await ask(served.address, profile, { kind: 'time', writes, sweeps }, 'timed');
    const lost = (result: KillResult) =>
      Math.max(0, result.chunksAnswered - result.chunksFound) +
      Math.max(0, result.catchesAnswered - result.catchesFound);
    return {
      kills,
      killsWithLoss: results.filter((result) => lost(result) > 0).length,
      killsWithDamage: results.filter((result) => !result.whole).length,
      answered: sum(results.map((result) => result.chunksAnswered + result.catchesAnswered)),
      took_ms: Object.fromEntries(
        Object.entries(timed.took_ms).map(([name, all]) => [name, { n: all.length, ...spread(all) }]),
      ),
      raw: results,
    };
  } finally {
    await served.close();
    rmSync(profile, { recursive: true, force: true });
  }
}

async function killOnce(
  address: string,
  profile: string,
  sweep: number,
  after_ms: number,
): Promise<KillResult> {
  const { context, page } = await browse(profile);
  const answered = { chunk: 0, catch: 0 };
  const failures: string[] = [];
  let first: () => void = () => undefined;
  const begun = new Promise<void>((resolve) => (first = resolve));
  await start(page, address, { kind: 'write', sweep }, (told) => {
    if (told.kind === 'failed') failures.push(told.because);
    if (told.kind === 'kept') answered[told.what] = Math.max(answered[told.what], told.number + 1);
    first();
  });
  await begun;
  const began = performance.now();
  await new Promise((resolve) => setTimeout(resolve, after_ms));
  const gone = new Promise((resolve) => context.once('close', resolve));
  for (const id of processesOf(profile)) {
    try {
      process.kill(id, 'SIGKILL');
    } catch {
      // It ended with its parent.
    }
  }
  const written_ms = performance.now() - began;
  await gone;
  if (failures.length > 0) throw new Error(failures.join('; '));
  const found = await ask(address, profile, { kind: 'check', sweep }, 'found');
  return {
    written_ms,
    chunksAnswered: answered.chunk,
    chunksFound: found.chunks,
    catchesAnswered: answered.catch,
    catchesFound: found.catches,
    whole: found.whole,
  };
}

async function ask<K extends Told['kind']>(
  address: string,
  profile: string,
  task: Task,
  kind: K,
): Promise<Extract<Told, { kind: K }>> {
  const { context, page } = await browse(profile);
  try {
    const told = await new Promise<Told>((resolve, reject) => {
      start(page, address, task, resolve).catch(reject);
    });
    if (told.kind !== kind) throw new Error(JSON.stringify(told));
    return told as Extract<Told, { kind: K }>;
  } finally {
    await context.close();
  }
}

async function browse(profile: string): Promise<{ context: BrowserContext; page: Page }> {
  // Named through a variable so that it stays outside the bundle this file is run from.
  const name = '@playwright/test';
  const { chromium } = (await import(/* @vite-ignore */ name)) as typeof Playwright;
  const context = await chromium.launchPersistentContext(profile, {
    executablePath: '/usr/bin/chromium',
    chromiumSandbox: false,
    args: ['--disable-gpu', '--no-first-run', '--disable-background-networking'],
  });
  return { context, page: context.pages()[0] ?? (await context.newPage()) };
}

async function start(page: Page, address: string, task: Task, onTold: (told: Told) => void): Promise<void> {
  await page.exposeBinding('told', (_source, told: Told) => onTold(told));
  await page.goto(address);
  await page.evaluate((message) => {
    const worker = new Worker('worker.js');
    const { told } = globalThis as unknown as { told: (told: unknown) => void };
    worker.addEventListener('message', ({ data }) => told(data));
    worker.postMessage(message);
  }, task);
}

async function serveWorker(): Promise<{ address: string; close: () => Promise<void> }> {
  const name = 'vite';
  const { build } = (await import(/* @vite-ignore */ name)) as typeof Vite;
  const built = mkdtempSync(join(tmpdir(), 'catchbench-storage-page-'));
  await build({
    configFile: false,
    logLevel: 'silent',
    publicDir: false,
    build: {
      outDir: built,
      lib: {
        entry: 'tests/benchmarks/storage-writes-parts/worker.ts',
        formats: ['iife'],
        name: 'worker',
        fileName: () => 'worker.js',
      },
    },
  });
  const worker = readFileSync(join(built, 'worker.js'));
  rmSync(built, { recursive: true, force: true });
  const server = createServer((request, response) => {
    const isWorker = request.url === '/worker.js';
    response.setHeader('content-type', isWorker ? 'text/javascript' : 'text/html');
    response.end(isWorker ? worker : '<!doctype html><title>storage</title>');
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  return {
    address: `http://127.0.0.1:${port}/`,
    close: () => new Promise((resolve) => server.close(() => resolve())),
  };
}

/** Ids of the processes started with this profile: only ours can carry its folder's name. */
function processesOf(profile: string): number[] {
  return readdirSync('/proc')
    .filter((entry) => /^\d+$/.test(entry))
    .map(Number)
    .filter((id) => {
      try {
        return readFileSync(`/proc/${id}/cmdline`, 'utf8').includes(profile) && id !== process.pid;
      } catch {
        return false;
      }
    });
}

/** A small linear congruential generator (multiplier and increment from memory, Numerical Recipes): only spreads the moments. */
function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

/** Nearest-rank quantiles. */
function spread(values: readonly number[]) {
  const sorted = [...values].sort((a, b) => a - b);
  const rank = (p: number) => sorted[Math.max(0, Math.ceil(p * sorted.length) - 1)] ?? null;
  return { median: rank(0.5), p95: rank(0.95), longest: rank(1) };
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
