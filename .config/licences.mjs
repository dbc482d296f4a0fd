// Licences of what we ship: a check of the production packages against the allow list, and the third-party notices.
import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { command, PlainError, ROOT } from './prepare.mjs';

/** Licences that let an MIT program carry the package along with its notice. */
export const ALLOWED = new Set([
  'MIT',
  'ISC',
  'BSD-2-Clause',
  'BSD-3-Clause',
  '0BSD',
  'Apache-2.0',
  'BSL-1.0',
  'OFL-1.1',
  'Unlicense',
  'CC0-1.0',
]);

/** Is an SPDX expression allowed: every part of an AND, at least one part of an OR. */
export function isAllowed(expression) {
  if (typeof expression !== 'string') return false;
  const bare = expression.replace(/[()]/g, '');
  return bare
    .split(/\s+OR\s+/i)
    .some((choice) => choice.split(/\s+AND\s+/i).every((part) => ALLOWED.has(part.trim())));
}

/** The packages of the lock that are installed for production: [{ path, name, version, licence }]. */
export function productionPackages() {
  const lock = JSON.parse(readFileSync(join(ROOT, 'package-lock.json'), 'utf8')).packages;
  return Object.entries(lock)
    .filter(([path, entry]) => path !== '' && !entry.dev && !entry.devOptional)
    .map(([path]) => describePackage(join(ROOT, path)))
    .filter((found) => found !== null);
}

/** Name, version, licence and notice texts of the package in this folder; null when there is none. */
export function describePackage(folder) {
  const file = join(folder, 'package.json');
  if (!existsSync(file)) return null;
  const told = JSON.parse(readFileSync(file, 'utf8'));
  const texts = readdirSync(folder)
    .filter((name) => /^(licen[cs]e|copying|notice)(\.(md|txt))?$/i.test(name))
    .sort()
    .map((name) => readFileSync(join(folder, name), 'utf8').trim());
  return { name: told.name, version: told.version, licence: told.license, texts };
}

/** One text for people: packages that share the same words stand together above them. */
export function noticesText(packages) {
  const groups = new Map();
  for (const found of packages) {
    const words =
      found.texts.length > 0 ? found.texts.join('\n\n') : '(the package carries no licence text of its own)';
    const key = createHash('sha256').update(`${found.licence}\n${words}`).digest('hex');
    const group = groups.get(key) ?? { licence: found.licence, words, names: new Set() };
    group.names.add(`${found.name} ${found.version}`);
    groups.set(key, group);
  }
  const parts = [...groups.values()]
    .map((group) => ({ ...group, names: [...group.names].sort() }))
    .sort((a, b) => (a.names[0] < b.names[0] ? -1 : 1))
    .map((group) => `${group.names.join('\n')}\nLicence: ${group.licence}\n\n${group.words}\n`);
  return (
    'Catchbench is made with the work of others. These packages are part of the built program; their notices follow.\n\n' +
    parts.join(`\n${'-'.repeat(72)}\n\n`)
  );
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  await command(() => {
    const packages = productionPackages();
    const wrong = packages.filter((found) => !isAllowed(found.licence));
    for (const found of wrong) {
      console.error(
        `${found.name} ${found.version}: licence ${found.licence ?? 'not stated'} is not on the allow list.`,
      );
    }
    if (wrong.length > 0)
      throw new PlainError(`${wrong.length} of ${packages.length} packages may not be shipped.`);
    console.log(`Licences: ${packages.length} production packages, all allowed.`);
    if (process.argv.includes('--write')) {
      writeFileSync(join(ROOT, 'third-party-notices.txt'), noticesText(packages));
      console.log(
        'Wrote third-party-notices.txt (every production package; the build writes that of the bundle).',
      );
    }
  });
}
