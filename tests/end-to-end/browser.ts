/** What every browser test starts from: the built app on a port of its own, a profile of its own, and a watched console. */
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { test as base, chromium, type BrowserContext, type Page } from '@playwright/test';
import { serve, type Served } from '../../.config/server.mjs';
import { SerialRig, whyNoRig } from './serial-rig/rig.ts';

export const ROOT = fileURLToPath(new URL('../..', import.meta.url));

const ARGUMENTS = [
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  '--autoplay-policy=no-user-gesture-required',
];

export interface BrowserOptions {
  readonly rig?: SerialRig;
  /** Reopen this profile; absent: a new one. */
  readonly profile?: string;
  readonly viewport?: { readonly width: number; readonly height: number };
}

export interface Browsing {
  readonly context: BrowserContext;
  readonly page: Page;
  readonly profile: string;
  /** Errors and policy violations the console and the page told so far. */
  readonly complaints: string[];
  close(): Promise<void>;
  /** The power cut: every process of this browser ends at once. */
  kill(): Promise<void>;
}

/** Ids of the processes started with this profile: only ours can carry its folder's name. */
function processesOf(profile: string): number[] {
  return readdirSync('/proc')
    .filter((name) => /^\d+$/.test(name))
    .map(Number)
    .filter((id) => {
      try {
        return readFileSync(`/proc/${String(id)}/cmdline`, 'utf8').includes(`--user-data-dir=${profile}`);
      } catch {
        return false;
      }
    });
}

async function browse(options: BrowserOptions): Promise<Browsing> {
  const profile = options.profile ?? mkdtempSync(join(tmpdir(), 'catchbench-profile-'));
  const context = await chromium.launchPersistentContext(profile, {
    executablePath: '/usr/bin/chromium',
    chromiumSandbox: false,
    headless: true,
    serviceWorkers: 'block',
    args: ARGUMENTS,
    acceptDownloads: true,
    viewport: options.viewport ?? { width: 1280, height: 800 },
    ...options.rig?.launch(),
  });
  context.setDefaultTimeout(12_000); // one step; the end of a sweep is waited for with a limit of its own
  const complaints: string[] = [];
  const watch = (page: Page) => {
    page.on('console', (message) => {
      if (message.type() === 'error' || /Content Security Policy/i.test(message.text())) {
        complaints.push(`${message.text()} (${message.location().url})`);
      }
    });
    page.on('pageerror', (error) => complaints.push(`uncaught: ${error.message}`));
  };
  context.pages().forEach(watch);
  context.on('page', watch);
  const page = context.pages()[0] ?? (await context.newPage());
  const gone = new Promise<void>((done) => context.once('close', () => done()));
  return {
    context,
    page,
    profile,
    complaints,
    close: () => context.close(),
    kill: async () => {
      for (const id of processesOf(profile)) {
        try {
          process.kill(id, 'SIGKILL');
        } catch {
          // It ended with its parent.
        }
      }
      await gone;
    },
  };
}

interface Fixtures {
  /** The folder to serve; the built app unless a test says otherwise. */
  readonly served: Served;
  /** Open a browser; closed, and its profile removed, at the end of the test. */
  readonly open: (options?: BrowserOptions) => Promise<Browsing>;
  /** The serial rig, its origin that of `served`. Skips the test with the reason where it can't run; in CI the test fails. */
  readonly rig: SerialRig;
}

export const test = base.extend<Fixtures & { readonly folder: string }>({
  folder: [join(ROOT, 'dist'), { option: true }],
  served: async ({ folder }, use) => {
    const served = await serve({ root: folder });
    await use(served);
    await served.close();
  },
  // eslint-disable-next-line no-empty-pattern -- Playwright reads what a fixture needs from this pattern
  open: async ({}, use) => {
    const all: Browsing[] = [];
    await use(async (options = {}) => {
      const opened = await browse(options);
      all.push(opened);
      return opened;
    });
    await Promise.all(all.map((opened) => opened.close().catch(() => undefined)));
    for (const profile of new Set(all.map((opened) => opened.profile))) {
      rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
    }
  },
  rig: async ({ served }, use, info) => {
    const why = whyNoRig();
    if (why !== null) {
      if (process.env['CI'] === 'true') throw new Error(`The serial rig can't run here: ${why}.`);
      console.log(`\n!!! NOT TESTED HERE: "${info.title}" needs the serial rig, and ${why}.\n`);
      info.skip(true, `serial rig: ${why}`);
    }
    const rig = new SerialRig(served.origin);
    await use(rig);
    await rig.close();
  },
});

export { expect } from '@playwright/test';
