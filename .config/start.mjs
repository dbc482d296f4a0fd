// npm start: installs what is missing, builds what is stale, serves the app at its one address.
import { join } from 'node:path';
import { command, ensureBuild, ensurePackages, PACKAGE, PlainError, ROOT } from './prepare.mjs';
import { serve, whoAnswers } from './server.mjs';

// Always this port: a person's data and serial grants belong to the origin, port included.
const PORT = 4173;
const ADDRESS = `http://localhost:${PORT}`;

await command(async () => {
  const who = await whoAnswers(PORT);
  if (who === 'another') throw new PlainError(taken());
  ensurePackages();
  ensureBuild();
  if (who === 'ours') {
    console.log(`Catchbench is already running: ${ADDRESS}`);
    return;
  }
  let served;
  try {
    served = await serve({ root: join(ROOT, 'dist'), port: PORT, version: PACKAGE.version });
  } catch (error) {
    if (error.code === 'EADDRINUSE') throw new PlainError(taken());
    throw error;
  }
  console.log(`Catchbench is running: ${ADDRESS}`);
  console.log('Open that address in a browser. Stop with Ctrl+C.');
  const stop = () => void served.close().then(() => process.exit(0));
  process.once('SIGINT', stop);
  process.once('SIGTERM', stop);
});

function taken() {
  return (
    `Another program is using port ${PORT}, so Catchbench did not start. ` +
    'It always uses this port, since your records belong to the address. Stop the other program and run npm start again.'
  );
}
