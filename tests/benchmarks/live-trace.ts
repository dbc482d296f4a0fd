/**
 * The live trace under load, in the real browser. A bench board on a pseudo-terminal sends 400 lines a second (80 Hz, five
 * times as fast) through the browser's own navigator.serial while a sweep runs: how many lines were lost on the way, and
 * which tasks of the page took over 50 ms later than two seconds after the first paint.
 *
 * npm run benchmark -- live-trace [--seconds=30]   (needs root, gcc, python3 and Chromium, like the serial rig)
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

export function run(options: Readonly<Record<string, string>>): unknown {
  const folder = mkdtempSync(join(tmpdir(), 'catchbench-trace-'));
  const result = join(folder, 'result.json');
  try {
    execFileSync(
      process.execPath,
      [
        'node_modules/@playwright/test/cli.js',
        'test',
        '--config',
        'tests/benchmarks/live-trace-parts/playwright.config.ts',
      ],
      {
        stdio: ['ignore', 2, 2],
        env: { ...process.env, TRACE_RESULT: result, TRACE_SECONDS: options['seconds'] ?? '30' },
      },
    );
    return JSON.parse(readFileSync(result, 'utf8')) as unknown;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
