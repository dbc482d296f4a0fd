// How much script the page and the worker load, compressed, against their budgets; and @stdlib stays in the worker.
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { gzipSync } from 'node:zlib';
import { command, PlainError, ROOT } from './prepare.mjs';

export const BUDGET_BYTES = Object.freeze({ page: 90_000, worker: 80_000 });

const IMPORTED = /(?:\bfrom|\bimport)\s*\(?\s*["'`](\.{1,2}\/[^"'`]+\.js)["'`]/g;

/** Every script reached by import (static or lazy) from this one, itself included; paths from the assets folder. */
function reached(assets, start) {
  const seen = new Set();
  const todo = [start];
  for (let name = todo.pop(); name !== undefined; name = todo.pop()) {
    if (seen.has(name) || !existsSync(join(assets, name))) continue;
    seen.add(name);
    for (const [, path] of readFileSync(join(assets, name), 'utf8').matchAll(IMPORTED)) {
      todo.push(path.replace(/^.*\//, ''));
    }
  }
  return [...seen].sort();
}

/**
 * Reads dist. The page's scripts are those that index.html names and what they import; every other script is the
 * worker's. Returns { page, worker }, each { files: [{ name, gzip_bytes }], gzip_bytes }.
 */
export function measureBundle(dist = join(ROOT, 'dist')) {
  const assets = join(dist, 'assets');
  const html = readFileSync(join(dist, 'index.html'), 'utf8');
  const entries = [...html.matchAll(/(?:src|href)="[^"]*assets\/([^"]+\.js)"/g)].map(([, name]) => name);
  const page = new Set(entries.flatMap((name) => reached(assets, name)));
  const others = readdirSync(assets).filter((name) => name.endsWith('.js') && !page.has(name));
  const weigh = (names) => {
    const files = [...names].sort().map((name) => ({
      name,
      gzip_bytes: gzipSync(readFileSync(join(assets, name)), { level: 9 }).length,
    }));
    return { files, gzip_bytes: files.reduce((sum, file) => sum + file.gzip_bytes, 0) };
  };
  return { page: weigh(page), worker: weigh(others) };
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  await command(() => {
    if (!existsSync(join(ROOT, 'dist/index.html')))
      throw new PlainError('There is no build: npm run build first.');
    const measured = measureBundle();
    let over = 0;
    for (const part of ['page', 'worker']) {
      const { gzip_bytes, files } = measured[part];
      const fits = gzip_bytes <= BUDGET_BYTES[part] && files.length > 0;
      if (!fits) over += 1;
      console.log(
        `${part}: ${gzip_bytes} of ${BUDGET_BYTES[part]} bytes gzipped in ${files.length} files${fits ? '' : files.length === 0 ? ' — NOTHING BUILT' : ' — OVER'}`,
      );
    }
    return over === 0 ? 0 : 1;
  });
}
