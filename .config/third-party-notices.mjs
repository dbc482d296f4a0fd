// Vite plugin: dist/third-party-notices.txt from the modules that really ended up in the bundle, the worker's included.
import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describePackage, isAllowed, noticesText } from './licences.mjs';

/** The folder of the package a module belongs to, or null for our own and virtual modules. */
function packageFolder(id) {
  const path = id.replace(/^\0+/, '').split('?')[0];
  if (!path.includes('/node_modules/')) return null;
  for (let folder = dirname(path); !folder.endsWith('/node_modules'); folder = dirname(folder)) {
    const file = join(folder, 'package.json');
    if (existsSync(file) && JSON.parse(readFileSync(file, 'utf8')).version !== undefined) return folder;
  }
  return null;
}

/** Returns `{ page, worker }`: the two plugins share what they saw; the page's writes the file, since it ends last. */
export function thirdPartyNotices() {
  const folders = new Set();
  const note = (id) => {
    const folder = packageFolder(id);
    if (folder !== null) folders.add(folder);
  };
  function gather(context, bundle) {
    for (const chunk of Object.values(bundle)) {
      if (chunk.type !== 'chunk') continue;
      for (const [id, module] of Object.entries(chunk.modules)) if (module.renderedLength > 0) note(id);
    }
    // Style sheets and the fonts they name leave no code in a chunk.
    for (const id of context.getModuleIds()) if (/\.(css|woff2?)(\?|$)/.test(id)) note(id);
  }
  return {
    worker: {
      name: 'catchbench:notices-of-the-worker',
      apply: 'build',
      generateBundle(_options, bundle) {
        gather(this, bundle);
      },
    },
    page: {
      name: 'catchbench:notices',
      apply: 'build',
      generateBundle(_options, bundle) {
        gather(this, bundle);
        const packages = [...folders].map(describePackage).filter((found) => found !== null);
        const wrong = packages.filter((found) => !isAllowed(found.licence));
        if (wrong.length > 0) {
          this.error(
            `May not be shipped: ${wrong.map((found) => `${found.name} (${found.licence})`).join(', ')}`,
          );
        }
        this.emitFile({
          type: 'asset',
          fileName: 'third-party-notices.txt',
          source: noticesText(packages),
        });
      },
    },
  };
}
