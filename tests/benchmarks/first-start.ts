/**
 * From a clean clone to the address printed: this checkout's HEAD is cloned into a temporary folder and `npm start` is run there, as
 * somebody who has just got the source would. npm's download cache stays as it is on this machine (`npmCacheWasThere` says whether
 * there was one), so the figure leaves out most of the network.
 *
 * npm run benchmark -- first-start   (needs git, port 4173 free — the start command takes no other — and, without a cache, the npm registry)
 */
import { execFileSync, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const PORT = 4173;
const LONGEST_S = 600;

export async function run(): Promise<unknown> {
  if (!(await isFree(PORT)))
    throw new Error(
      `Port ${PORT} is in use, and npm start takes no other. Stop what uses it and run this again.`,
    );
  const folder = mkdtempSync(join(tmpdir(), 'catchbench-first-start-'));
  const clone = join(folder, 'catchbench');
  try {
    const cache = execFileSync('npm', ['config', 'get', 'cache'], { encoding: 'utf8' }).trim();
    const npmCacheWasThere = existsSync(join(cache, '_cacache'));
    const began_ms = performance.now();
    execFileSync('git', ['clone', '-q', '.', clone], { stdio: ['ignore', 2, 2] });
    const cloned_ms = performance.now();
    const commit = execFileSync('git', ['rev-parse', 'HEAD'], { cwd: clone, encoding: 'utf8' }).trim();
    const { installing_ms, building_ms, address_ms, address } = await startUntilAddress(clone);
    const answered = (await fetch(address)).status;
    return {
      commit,
      seconds: (address_ms - began_ms) / 1000,
      ofWhich: {
        gitClone_s: (cloned_ms - began_ms) / 1000,
        npmCi_s: spanOf(installing_ms, building_ms),
        buildAndServe_s: spanOf(building_ms, address_ms),
      },
      address,
      answered,
      npmCacheWasThere,
    };
  } finally {
    await stop();
    rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
  }
}

function spanOf(from_ms: number | null, to_ms: number | null): number | null {
  return from_ms === null || to_ms === null ? null : (to_ms - from_ms) / 1000;
}

let started: ReturnType<typeof spawn> | null = null;

interface Moments {
  readonly installing_ms: number | null;
  readonly building_ms: number | null;
  readonly address_ms: number;
  readonly address: string;
}

/** Runs `npm start` and listens to what it says: "Installing…", "Building…", the address. Each moment is when the words came. */
function startUntilAddress(clone: string): Promise<Moments> {
  return new Promise((done, failed) => {
    let said = '';
    let installing_ms: number | null = null;
    let building_ms: number | null = null;
    // A group of its own: npm and what it started are stopped together, and nothing else.
    const child = spawn('npm', ['start'], {
      cwd: clone,
      env: plainEnvironment(),
      detached: true,
      stdio: ['ignore', 'pipe', 2],
    });
    started = child;
    const late = setTimeout(() => {
      failed(new Error(`No address after ${LONGEST_S} s; it said: ${said}`));
    }, LONGEST_S * 1000);
    child.stdout?.setEncoding('utf8').on('data', (text: string) => {
      said += text;
      if (said.includes('Installing packages')) installing_ms ??= performance.now();
      if (said.includes('Building…')) building_ms ??= performance.now();
      const address = /Catchbench is running: (\S+)\n/.exec(said)?.[1];
      if (address === undefined) return;
      clearTimeout(late);
      done({ installing_ms, building_ms, address_ms: performance.now(), address });
    });
    child.once('error', failed);
    child.once('exit', (code) => {
      clearTimeout(late);
      failed(new Error(`npm start ended with ${String(code)} before it told an address; it said: ${said}`));
    });
  });
}

/** A fresh terminal's: what npm and the bundler of this run set (NODE_ENV=production leaves half the packages out) is not passed on. */
function plainEnvironment(): NodeJS.ProcessEnv {
  return Object.fromEntries(
    Object.entries(process.env).filter(([name]) => name !== 'NODE_ENV' && !/^npm_/i.test(name)),
  );
}

/** Ends the group of `npm start`, and waits until its first process is gone. */
function stop(): Promise<void> {
  const child = started;
  started = null;
  return new Promise((done) => {
    if (child?.pid === undefined || child.exitCode !== null || child.signalCode !== null) {
      done();
      return;
    }
    child.once('exit', () => {
      done();
    });
    process.kill(-child.pid, 'SIGTERM');
  });
}

function isFree(port: number): Promise<boolean> {
  return new Promise((done) => {
    const probe = createServer();
    probe.once('error', () => {
      done(false);
    });
    probe.listen(port, '127.0.0.1', () => {
      probe.close(() => {
        done(true);
      });
    });
  });
}
