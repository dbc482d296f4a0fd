// npm run analyse / simulate: nothing on standard output but the program's own words.
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { importBundled } from './bundle-for-node.mjs';
import { command, ensurePackages, PlainError, ROOT } from './prepare.mjs';

const [name, ...args] = process.argv.slice(2);

await command(async () => {
  const entry = `src/terminal/${name}.ts`;
  if (name === undefined || !/^[a-z-]+$/.test(name) || !existsSync(join(ROOT, entry))) {
    throw new PlainError(`There is no command "${name ?? ''}" here.`);
  }
  ensurePackages({ quiet: true });
  const program = await importBundled(entry);
  // npm changes to the package's folder; paths in the arguments are meant from where the caller stood.
  if (process.env.npm_lifecycle_event === name && process.env.INIT_CWD) process.chdir(process.env.INIT_CWD);
  return await program.main(args);
});
