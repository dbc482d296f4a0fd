// TypeScript entries (src/terminal, tests/benchmarks) as one JavaScript file for Node, kept until a source changes.
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, renameSync, rmSync } from 'node:fs';
import { basename, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { newestChange_ms, PACKAGE, ROOT } from './prepare.mjs';

const CACHE = join(ROOT, 'node_modules/.cache/catchbench');

/** Import `entry` (path from the root), bundled if the kept bundle is older than anything in `sources`. Prints nothing. */
export async function importBundled(
  entry,
  sources = ['src', 'package-lock.json', '.config/bundle-for-node.mjs'],
) {
  const name = basename(entry, '.ts');
  const key = createHash('sha256')
    .update(JSON.stringify([entry, newestChange_ms(sources), process.versions.node, PACKAGE.version]))
    .digest('hex')
    .slice(0, 16);
  const file = join(CACHE, `${name}-${key}`, `${name}.mjs`);
  if (!existsSync(file)) await bundle(entry, name, join(CACHE, `${name}-${key}`));
  return await import(pathToFileURL(file).href);
}

async function bundle(entry, name, folder) {
  const { build } = await import('vite');
  mkdirSync(CACHE, { recursive: true });
  const making = `${folder}.${process.pid}`;
  await build({
    configFile: false,
    root: ROOT,
    logLevel: 'silent',
    publicDir: false,
    define: { __APP_VERSION__: JSON.stringify(PACKAGE.version) },
    ssr: { noExternal: true, target: 'node' },
    build: {
      ssr: join(ROOT, entry),
      outDir: making,
      emptyOutDir: true,
      target: 'node20',
      minify: false,
      rolldownOptions: { output: { entryFileNames: `${name}.mjs`, codeSplitting: false } },
    },
  });
  // Two runs may build at once: the first to finish wins, the other's copy is thrown away.
  try {
    renameSync(making, folder);
  } catch {
    rmSync(making, { recursive: true, force: true });
  }
  for (const old of readdirSync(CACHE)) {
    if (old.startsWith(`${name}-`) && join(CACHE, old) !== folder && !/\.\d+$/.test(old)) {
      rmSync(join(CACHE, old), { recursive: true, force: true });
    }
  }
}
