// npm run check: types, lint, format, layers and licences; runs them all, then says which failed.
import { spawn } from 'node:child_process';
import { join } from 'node:path';
import { command, ensurePackages, ROOT } from './prepare.mjs';

const bin = (path) => join(ROOT, 'node_modules', path);
const tsc = bin('typescript/bin/tsc');
const types = (project) => [`types ${project}`, [tsc, '-p', project, '--noEmit']];

const CHECKS = [
  ['lint', [bin('eslint/bin/eslint.js'), '--config', '.config/eslint.config.js', '.', '--max-warnings', '0']],
  [
    'types web (svelte-check)',
    [bin('svelte-check/bin/svelte-check'), '--tsconfig', './web/tsconfig.json', '--fail-on-warnings'],
  ],
  types('src/tsconfig.json'),
  types('src/terminal/tsconfig.json'),
  types('web/worker/tsconfig.json'),
  types('tests/tsconfig.json'),
  [
    'format',
    [
      bin('prettier/bin/prettier.cjs'),
      '--config',
      '.config/prettier.json',
      '--ignore-path',
      '.config/prettierignore',
      '--check',
      '.',
      // The ignore file stands in .config, so only its patterns without a folder reach from there.
      '!tests/fixtures/**',
      '!tests/benchmarks/results/**',
    ],
  ],
  ['layers', [bin('vitest/vitest.mjs'), 'run', '--project', 'core', 'tests/layers.test.ts']],
  ['licences', ['.config/licences.mjs', '--check']],
];

function runQuietly([name, args]) {
  return new Promise((done) => {
    const began = performance.now();
    const child = spawn(process.execPath, args, { cwd: ROOT, env: { ...process.env, NO_COLOR: '1' } });
    let words = '';
    child.stdout.on('data', (part) => (words += part));
    child.stderr.on('data', (part) => (words += part));
    child.on('close', (code) => {
      const seconds = ((performance.now() - began) / 1000).toFixed(1);
      if (code !== 0) console.log(`\n── ${name} ──\n${words.trim()}\n`);
      console.log(`${code === 0 ? 'ok    ' : 'FAILED'} ${name} (${seconds} s)`);
      done({ name, ok: code === 0 });
    });
  });
}

await command(async () => {
  ensurePackages();
  const todo = [...CHECKS];
  const results = [];
  // Two at a time: the machines this is meant for have two cores.
  const lane = async () => {
    for (let next = todo.shift(); next !== undefined; next = todo.shift())
      results.push(await runQuietly(next));
  };
  await Promise.all([lane(), lane()]);
  const failed = results.filter((result) => !result.ok).map((result) => result.name);
  console.log(failed.length === 0 ? 'All checks passed.' : `Failed: ${failed.join(', ')}.`);
  return failed.length === 0 ? 0 : 1;
});
