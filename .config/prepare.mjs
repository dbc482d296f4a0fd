// What start, test, check and the terminal commands need before they begin: the right Node, packages, a build.
import { spawnSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const ROOT = fileURLToPath(new URL('..', import.meta.url));
export const PACKAGE = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8'));

export class PlainError extends Error {}

/** A plain sentence instead of a syntax error deep in a dependency. */
export function requireNode(running = process.versions.node, wanted = PACKAGE.engines.node) {
  const least = wanted
    .replace(/^[^0-9]*/, '')
    .split('.')
    .map(Number);
  const have = running.split('.').map(Number);
  const at = [0, 1, 2].find((i) => have[i] !== least[i]);
  if (at !== undefined && have[at] < least[at]) {
    throw new PlainError(
      `This is Node.js ${running}, and Catchbench needs ${least.join('.')} or newer. Install a newer Node.js and run the same command again.`,
    );
  }
}

/** Newest change time (ms) among these files and folders; dot files and node_modules inside them don't count. */
export function newestChange_ms(paths) {
  let newest = 0;
  for (const path of paths) {
    const full = join(ROOT, path);
    if (!existsSync(full)) continue;
    const found = statSync(full);
    if (!found.isDirectory()) {
      newest = Math.max(newest, found.mtimeMs);
      continue;
    }
    newest = Math.max(newest, found.mtimeMs); // a removed file shows only here
    for (const name of readdirSync(full)) {
      if (name === 'node_modules' || name.startsWith('.')) continue;
      newest = Math.max(newest, newestChange_ms([join(path, name)]));
    }
  }
  return newest;
}

/** Do the installed packages match the lock? Compared by content: a fresh checkout's file times say nothing. */
export function packagesAreCurrent() {
  const record = join(ROOT, 'node_modules/.package-lock.json');
  if (!existsSync(record)) return false;
  const locked = JSON.parse(readFileSync(join(ROOT, 'package-lock.json'), 'utf8')).packages;
  const installed = JSON.parse(readFileSync(record, 'utf8')).packages;
  return (
    Object.entries(locked).every(
      ([path, entry]) =>
        path === '' || installed[path]?.version === entry.version || (entry.optional && !installed[path]),
    ) && Object.keys(installed).every((path) => locked[path] !== undefined)
  );
}

export function run(command, args, options = {}) {
  const windows = process.platform === 'win32';
  const done = spawnSync(command, args, { cwd: ROOT, stdio: 'inherit', shell: windows, ...options });
  if (done.error) throw new PlainError(`Could not run ${command}: ${done.error.message}`);
  return done.status ?? 1;
}

/** `npm ci` if packages are missing or not those of the lock. `quiet` sends npm's words to standard error. */
export function ensurePackages({ quiet = false } = {}) {
  if (packagesAreCurrent()) return;
  const say = quiet ? console.error : console.log;
  say('Installing packages (npm ci)…');
  const status = run('npm', ['ci', '--no-audit', '--no-fund'], quiet ? { stdio: ['ignore', 2, 2] } : {});
  if (status !== 0) {
    throw new PlainError(
      'The packages could not be installed: npm ci failed, its own words are above. Check the network to the npm registry and run the same command again.',
    );
  }
}

export const SOURCES = ['web', 'src', 'vite.config.ts', 'package.json', 'package-lock.json'];

export function buildIsCurrent() {
  const built = join(ROOT, 'dist/index.html');
  return existsSync(built) && statSync(built).mtimeMs >= newestChange_ms(SOURCES);
}

export function ensureBuild({ force = false } = {}) {
  if (!force && buildIsCurrent()) return;
  console.log('Building…');
  const status = run(process.execPath, [
    join(ROOT, 'node_modules/vite/bin/vite.js'),
    'build',
    '--logLevel',
    'warn',
  ]);
  if (status !== 0) throw new PlainError('The build failed: its own words are above.');
}

/** Run a command of ours: a plain sentence and exit code 1 for an expected failure. */
export async function command(main) {
  try {
    requireNode();
    process.exitCode = (await main()) ?? 0;
  } catch (error) {
    if (!(error instanceof PlainError)) throw error;
    console.error(error.message);
    process.exitCode = 1;
  }
}
