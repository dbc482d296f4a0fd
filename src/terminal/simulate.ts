import { simulateCapture } from '../simulation/simulated-capture.ts';
import { ArgumentError, readSimulateArguments, usage } from './simulate-arguments.ts';

/**
 * `npm run -s simulate -- ...`: writes one simulated capture, its truth in the header. Returns the exit code: 0, or 2 for an
 * argument that can't be meant (plain words to `err`, nothing to `out`).
 */
export function runSimulate(
  argv: readonly string[],
  out: (text: string) => void,
  err: (text: string) => void,
): number {
  if (argv.includes('--help')) {
    out(usage);
    return 0;
  }
  try {
    out(simulateCapture(readSimulateArguments(argv)));
    return 0;
  } catch (error) {
    if (!(error instanceof ArgumentError)) throw error;
    err(`${error.message}\nnpm run -s simulate -- --help lists the options.\n`);
    return 2;
  }
}

export function main(argv: readonly string[]): number {
  // A reader that has enough (head, a closed pager) is no error.
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error;
  });
  return runSimulate(
    argv,
    (text) => process.stdout.write(text),
    (text) => process.stderr.write(text),
  );
}
