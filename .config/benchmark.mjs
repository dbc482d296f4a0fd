// npm run benchmark [-- NAME … --option=value …]: scored and timed runs, never part of the tests' verdict.
import { existsSync, mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { cpus, release, totalmem, type } from 'node:os';
import { join } from 'node:path';
import { importBundled } from './bundle-for-node.mjs';
import { command, ensurePackages, PACKAGE, PlainError, ROOT } from './prepare.mjs';

const FOLDER = 'tests/benchmarks';

function known() {
  if (!existsSync(join(ROOT, FOLDER))) return [];
  return readdirSync(join(ROOT, FOLDER))
    .filter((file) => /^[a-z-]+\.ts$/.test(file))
    .map((file) => file.slice(0, -3))
    .sort();
}

/** `--fills=500`, `--fills 500` and `--quick` become { fills: '500', quick: 'true' }. */
export function readArguments(args) {
  const names = [];
  const options = {};
  for (let i = 0; i < args.length; i += 1) {
    const [, key, value] = /^--([a-zA-Z-]+)(?:=(.*))?$/.exec(args[i]) ?? [];
    if (key === undefined) names.push(args[i]);
    else if (value !== undefined) options[key] = value;
    else if (args[i + 1] !== undefined && /^-?[\d.]/.test(args[i + 1])) options[key] = args[(i += 1)];
    else options[key] = 'true';
  }
  return { names, options };
}

/**
 * Every option in the file's name, so that no run of another kind is written over: { scenario: 'rough', fills: '500' } becomes
 * '-fills-500-rough'. The scenario's value says what it is by itself; options come in alphabetical order, whatever order was typed.
 */
export function optionsName(options) {
  const plain = (text) => text.replaceAll(/[^A-Za-z0-9.]+/g, '-');
  return Object.entries(options)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([key, value]) => `-${key === 'scenario' ? plain(value) : `${key}-${plain(value)}`}`)
    .join('');
}

await command(async () => {
  ensurePackages();
  const { names, options } = readArguments(process.argv.slice(2));
  const all = known();
  if (names.length === 0) {
    console.log(`Benchmarks: ${all.join(', ') || '(none)'}. Run one by name: npm run benchmark -- NAME`);
    return;
  }
  const wrong = names.find((name) => !all.includes(name));
  if (wrong !== undefined)
    throw new PlainError(`There is no benchmark "${wrong}"; there are: ${all.join(', ')}.`);
  for (const name of names) {
    const program = await importBundled(`${FOLDER}/${name}.ts`, [
      'src',
      'web',
      FOLDER,
      'tests/builders',
      'package-lock.json',
      '.config/bundle-for-node.mjs',
    ]);
    const startedAt = new Date();
    const began = performance.now();
    const result = await program.run(options);
    const report = {
      benchmark: name,
      date: startedAt.toISOString(),
      machine: {
        processor: cpus()[0]?.model ?? 'unknown',
        cores: cpus().length,
        memory_bytes: totalmem(),
        system: `${type()} ${release()}`,
        node: process.versions.node,
      },
      appVersion: PACKAGE.version,
      options,
      took_s: (performance.now() - began) / 1000,
      result,
    };
    mkdirSync(join(ROOT, FOLDER, 'results'), { recursive: true });
    const day = startedAt.toISOString().slice(0, 10);
    const which = optionsName(options);
    const file = join(FOLDER, 'results', `${name}${which}-${day}.json`);
    writeFileSync(join(ROOT, file), JSON.stringify(report, null, 2) + '\n');
    console.log(JSON.stringify(report, null, 2));
    console.error(`Raw numbers: ${file}`);
  }
});
