import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { brokenImports, importsOf, misplacedNames, tooLong, type SourceFile } from './layer-rules.ts';

const ROOT = fileURLToPath(new URL('..', import.meta.url));

function filesUnder(folder: string): SourceFile[] {
  if (!existsSync(join(ROOT, folder))) return [];
  return readdirSync(join(ROOT, folder), { withFileTypes: true }).flatMap((entry) => {
    const path = `${folder}/${entry.name}`;
    if (entry.isDirectory()) return filesUnder(path);
    if (!/\.(ts|svelte)$/.test(entry.name)) return [];
    return [{ path, text: readFileSync(join(ROOT, path), 'utf8') }];
  });
}

const sources = [...filesUnder('src'), ...filesUnder('web')];

describe('the tree', () => {
  it('has sources to look at in src and web', () => {
    expect(sources.filter((file) => file.path.startsWith('src/')).length).toBeGreaterThan(5);
    expect(sources.some((file) => file.path.startsWith('web/'))).toBe(true);
  });

  it('imports only along the layers', () => {
    expect(brokenImports(sources)).toEqual([]);
  });

  it('names the database and the distributions in their one place only', () => {
    expect(misplacedNames(sources)).toEqual([]);
  });

  it('has a README in every folder with sources', () => {
    const folders = new Set(sources.map((file) => dirname(file.path)));
    expect([...folders].filter((folder) => !existsSync(join(ROOT, folder, 'README.md'))).sort()).toEqual([]);
  });

  it('has no file over 300 lines without a reason in its first comment', () => {
    expect(tooLong(sources)).toEqual([]);
  });
});

describe('the rules themselves', () => {
  const broken = (path: string, text: string) => brokenImports([{ path, text }]);

  it('refuse an import from a lower folder of src', () => {
    expect(broken('src/base/a.ts', "import { b } from '../signal/b.ts';")).toHaveLength(1);
    expect(broken('src/signal/a.ts', "import type { b } from '../session/b.ts';")).toHaveLength(1);
    expect(broken('src/signal/a.ts', "import { b } from '../base/b.ts';")).toEqual([]);
  });

  it('refuse src importing web, and anything importing tests', () => {
    expect(broken('src/base/a.ts', "import type { B } from '../../web/contract.ts';")).toHaveLength(1);
    expect(broken('web/state/a.ts', "export { b } from '../../tests/b.ts';")).toHaveLength(1);
  });

  it('refuse the page importing the worker, lazily too, and the worker importing the page', () => {
    expect(broken('web/state/a.ts', "const b = await import('../worker/b.ts');")).toHaveLength(1);
    expect(broken('web/worker/a.ts', "import { b } from '../state/b.ts';")).toHaveLength(1);
    expect(broken('web/worker/a.ts', "import type { B } from '../contract.ts';")).toEqual([]);
  });

  it('see the imports of a Svelte file, and let the page take estimators as types only', () => {
    const script = (line: string) => `<script lang="ts">\n${line}\n</script>\n<p>from './x'</p>`;
    const path = 'web/places/A.svelte';
    expect(broken(path, script("import { fit } from '../../src/analysis/fit.ts';"))).toHaveLength(1);
    expect(broken(path, script("import type { Fit } from '../../src/analysis/fit.ts';"))).toEqual([]);
    expect(broken(path, script("import { psi } from '../../src/base/units/pressure.ts';"))).toEqual([]);
    expect(broken(path, script("import { t } from '../../src/base/statistics/t.ts';"))).toHaveLength(1);
  });

  it('refuse a higher folder of web importing a lower one', () => {
    expect(broken('web/parts/A.svelte', "<script>import B from '../places/B.svelte';</script>")).toHaveLength(
      1,
    );
    expect(broken('web/parts/A.svelte', "<script>import B from '../charts/B.svelte';</script>")).toEqual([]);
  });

  it('let anybody take the shapes of the contract, and the contract itself only types', () => {
    expect(broken('web/wording/a.ts', "import type { Prompt } from '../contract.ts';")).toEqual([]);
    expect(broken('web/wording/a.ts', "import { prompt } from '../contract.ts';")).toHaveLength(1);
    expect(broken('web/contract.ts', "import { ok } from '../src/base/outcome.ts';")).toHaveLength(1);
  });

  it('find the database and @stdlib where they do not belong', () => {
    expect(misplacedNames([{ path: 'web/state/a.ts', text: "import { openDB } from 'idb';" }])).toHaveLength(
      1,
    );
    expect(misplacedNames([{ path: 'web/worker/storage/a.ts', text: 'indexedDB.open(1)' }])).toEqual([]);
    expect(
      misplacedNames([
        { path: 'src/analysis/a.ts', text: "import t from '@stdlib/stats-base-dists-t-cdf';" },
      ]),
    ).toHaveLength(1);
  });

  it('find a long file, unless its first comment says why it is long', () => {
    const body = 'let a;\n'.repeat(320);
    expect(tooLong([{ path: 'src/a.ts', text: body }])).toHaveLength(1);
    expect(tooLong([{ path: 'src/a.ts', text: `/** A table, so long in one piece. */\n${body}` }])).toEqual(
      [],
    );
  });

  it('tell a type import from one that runs', () => {
    const text =
      "import type { A } from './a.ts';\nimport { b } from './b.ts';\nexport type { C } from './c.ts';";
    expect(importsOf({ path: 'src/x.ts', text }).map((found) => found.typeOnly)).toEqual([true, false, true]);
  });
});
