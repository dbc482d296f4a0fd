// npm test: installs what is missing, runs the unit tests, builds, runs the browser tests, and ends in one line of totals.
import { spawn } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { command, ensurePackages, ROOT, run } from './prepare.mjs';

const REPORTS = join(ROOT, 'test-results');
const CHROMIUM = '/usr/bin/chromium';
const inCI = process.env.CI === 'true';
const totals = { passed: 0, failed: 0, skipped: 0 };

function count(label, { passed, failed, skipped }) {
  totals.passed += passed;
  totals.failed += failed;
  totals.skipped += skipped;
  console.log(`${label}: ${passed} passed, ${failed} failed${skipped > 0 ? `, ${skipped} skipped` : ''}`);
}

/** Runs a command in its own process group and ends the whole group when the limit is over. */
function runFor(limit_s, args, env = {}) {
  return new Promise((done) => {
    const child = spawn(process.execPath, args, {
      cwd: ROOT,
      stdio: 'inherit',
      detached: true,
      env: { ...process.env, ...env },
    });
    const end = (signal) => {
      try {
        process.kill(-child.pid, signal);
      } catch {
        // Already over.
      }
    };
    const interrupted = () => end('SIGTERM');
    process.on('SIGINT', interrupted);
    process.on('SIGTERM', interrupted);
    const timer = setTimeout(() => {
      console.error(`Ended after ${limit_s} s: the limit of this part.`);
      end('SIGTERM');
      setTimeout(() => end('SIGKILL'), 5000).unref();
    }, limit_s * 1000);
    child.on('close', (code) => {
      clearTimeout(timer);
      process.off('SIGINT', interrupted);
      process.off('SIGTERM', interrupted);
      done(code ?? 1);
    });
  });
}

function readReport(name) {
  const file = join(REPORTS, name);
  return existsSync(file) ? JSON.parse(readFileSync(file, 'utf8')) : null;
}

/** A runner that failed without naming a failed test (a file that can't be loaded, an unhandled error) counts as one. */
const atLeastOne = (failed, code) => (code !== 0 && failed === 0 ? 1 : failed);

function unitTotals(report, code) {
  if (report === null) return { passed: 0, failed: 1, skipped: 0 };
  const unloaded = report.testResults.filter(
    (file) => file.status === 'failed' && !file.assertionResults.some((test) => test.status === 'failed'),
  ).length;
  return {
    passed: report.numPassedTests,
    failed: atLeastOne(report.numFailedTests + unloaded, code),
    skipped: report.numPendingTests + report.numTodoTests,
  };
}

function browserTotals(report, code) {
  if (report === null) return { passed: 0, failed: 1, skipped: 0 };
  const { expected, unexpected, flaky, skipped } = report.stats;
  return { passed: expected, failed: atLeastOne(unexpected + flaky + report.errors.length, code), skipped };
}

/** Debian's packages that the browser tests need: installed where this machine lets us. */
function ensureSystem() {
  const wanted = { [CHROMIUM]: 'chromium', '/usr/bin/gcc': 'gcc libc6-dev', '/usr/bin/python3': 'python3' };
  const missing = () => Object.entries(wanted).filter(([path]) => !existsSync(path));
  if (missing().length === 0) return;
  if (process.platform !== 'linux' || process.getuid() !== 0 || !existsSync('/usr/bin/apt-get')) return;
  const packages = missing().flatMap(([, names]) => names.split(' '));
  console.log(`Installing ${packages.join(', ')} (apt-get)…`);
  const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
  run('apt-get', ['update', '-qq'], { env });
  run('apt-get', ['install', '-y', '-qq', '--no-install-recommends', ...packages], { env });
}

function loud(...lines) {
  const bar = '!'.repeat(78);
  console.log(['', bar, ...lines.map((line) => `!! ${line}`), bar, ''].join('\n'));
}

await command(async () => {
  const began = performance.now();
  ensurePackages();
  ensureSystem();
  rmSync(REPORTS, { recursive: true, force: true });
  mkdirSync(REPORTS, { recursive: true });

  const unit = await runFor(480, [
    join(ROOT, 'node_modules/vitest/vitest.mjs'),
    'run',
    '--reporter=default',
    '--reporter=json',
    `--outputFile.json=${join(REPORTS, 'unit.json')}`,
  ]);
  count('Unit tests', unitTotals(readReport('unit.json'), unit));

  const built = await runFor(120, [join(ROOT, 'node_modules/vite/bin/vite.js'), 'build']);
  count('Build', built === 0 ? { passed: 1, failed: 0, skipped: 0 } : { passed: 0, failed: 1, skipped: 0 });
  if (built === 0) {
    const fits = await runFor(30, [join(ROOT, '.config/bundle-budget.mjs')]);
    count('Bundle budget', { passed: fits === 0 ? 1 : 0, failed: fits === 0 ? 0 : 1, skipped: 0 });
  }

  if (!existsSync(CHROMIUM)) {
    loud(
      `The browser tests did NOT run: there is no ${CHROMIUM} and it could not be installed here.`,
      'On Debian: apt-get install chromium gcc libc6-dev python3, then npm test again.',
    );
    count('Browser tests', { passed: 0, failed: inCI ? 1 : 0, skipped: 1 });
  } else if (built === 0) {
    const browser = await runFor(
      640,
      [
        join(ROOT, 'node_modules/@playwright/test/cli.js'),
        'test',
        '--config',
        'tests/end-to-end/playwright.config.ts',
      ],
      { PLAYWRIGHT_JSON_OUTPUT_FILE: join(REPORTS, 'browser.json') },
    );
    const found = browserTotals(readReport('browser.json'), browser);
    if (found.skipped > 0) {
      loud(
        `${found.skipped} tests in the real browser did NOT run on this machine (the reasons are above).`,
        'The serial rig needs Linux, root, gcc, python3 and /sys/class/tty/tty63.',
      );
      if (inCI) found.failed += found.skipped;
    }
    count('Browser tests', found);
  }

  console.log(`Took ${((performance.now() - began) / 1000).toFixed(0)} s.`);
  console.log(
    `${totals.passed} passed, ${totals.failed} failed${totals.skipped > 0 ? `, ${totals.skipped} skipped` : ''}`,
  );
  return totals.failed === 0 && totals.passed > 0 ? 0 : 1;
});
