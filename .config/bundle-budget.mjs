// How much script the page and the worker load, compressed, against their budgets; and @stdlib stays in the worker.
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { gzipSync } from 'node:zlib';
import { command, PlainError, ROOT } from './prepare.mjs';

export const BUDGET_BYTES = Object.freeze({ page: 90_000, worker: 80_000 });

const STATIC = /(?:\bfrom|\bimport)\s*["'`](\.{1,2}\/[^"'`]+\.js)["'`]/g;
const LAZY = /\bimport\s*\(\s*["'`](\.{1,2}\/[^"'`]+\.js)["'`]/g;

/** Every script reached by these kinds of import, the starting ones included; names inside the assets folder. */
function reached(assets, starts, kinds) {
  const seen = new Set();
  const todo = [...starts];
  for (let name = todo.pop(); name !== undefined; name = todo.pop()) {
    if (seen.has(name) || !existsSync(join(assets, name))) continue;
    seen.add(name);
    const text = readFileSync(join(assets, name), 'utf8');
    for (const kind of kinds) {
      for (const [, path] of text.matchAll(kind)) todo.push(path.replace(/^.*\//, ''));
    }
  }
  return [...seen].sort();
}

/**
 * Reads dist. The page's scripts are those that index.html names and what they import; the worker's are the others. Of each,
 * `gzip_bytes` is what is loaded at the start (static imports), `lazy_gzip_bytes` what comes when it is asked for.
 * Returns { page, worker }, each { files, lazyFiles: [{ name, gzip_bytes }], gzip_bytes, lazy_gzip_bytes }.
 */
export function measureBundle(dist = join(ROOT, 'dist')) {
  const assets = join(dist, 'assets');
  const html = readFileSync(join(dist, 'index.html'), 'utf8');
  const pageStarts = [...html.matchAll(/(?:src|href)="[^"]*assets\/([^"]+\.js)"/g)].map(([, name]) => name);
  const page = reached(assets, pageStarts, [STATIC, LAZY]);
  const others = readdirSync(assets).filter((name) => name.endsWith('.js') && !page.includes(name));
  const pageText = page.map((name) => readFileSync(join(assets, name), 'utf8')).join('\n');
  const workerStarts = others.filter((name) => pageText.includes(name));
  return { page: weigh(assets, page, pageStarts), worker: weigh(assets, others, workerStarts) };
}

function weigh(assets, all, starts) {
  const atStart = reached(assets, starts, [STATIC]);
  const sizes = (names) =>
    names.map((name) => ({
      name,
      gzip_bytes: gzipSync(readFileSync(join(assets, name)), { level: 9 }).length,
    }));
  const sum = (files) => files.reduce((total, file) => total + file.gzip_bytes, 0);
  const files = sizes(atStart);
  const lazyFiles = sizes(all.filter((name) => !atStart.includes(name)));
  return { files, lazyFiles, gzip_bytes: sum(files), lazy_gzip_bytes: sum(lazyFiles) };
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  await command(() => {
    if (!existsSync(join(ROOT, 'dist/index.html')))
      throw new PlainError('There is no build: npm run build first.');
    const measured = measureBundle();
    let over = 0;
    for (const part of ['page', 'worker']) {
      const { gzip_bytes, files, lazy_gzip_bytes } = measured[part];
      const fits = gzip_bytes <= BUDGET_BYTES[part] && files.length > 0;
      if (!fits) over += 1;
      const verdict = fits ? '' : files.length === 0 ? ' — NOTHING BUILT' : ' — OVER';
      console.log(
        `${part}: ${gzip_bytes} of ${BUDGET_BYTES[part]} bytes gzipped at the start${verdict}, and ${lazy_gzip_bytes} when asked for`,
      );
    }
    return over === 0 ? 0 : 1;
  });
}
