import type { GapReason } from '../../../src/base/because.ts';
import type { PortLike } from './port-like.ts';

/** So many errors in a row without a byte between them, and the driver is sick: give up rather than spin. */
const MOST_ERRORS_IN_A_ROW = 20;

/** Errors after which the port offers a new stream (Web Serial specification); anything else means that it is gone. */
const recoverable = new Map<string, GapReason>([
  ['BufferOverrunError', 'buffer-overflow'],
  ['BreakError', 'line-error'],
  ['FramingError', 'line-error'],
  ['ParityError', 'line-error'],
  ['UnknownError', 'bytes-lost'],
]);

export interface PortReading {
  /** Ends when the port is lost or `stop` was called; fails when `onBytes` or `onGap` throws, which is a bug and not the port's. */
  readonly ended: Promise<'lost' | 'stopped'>;
  stop(): Promise<void>;
}

/**
 * Reads a port until it is lost or stopped. A recoverable error takes a new reader and tells a gap; the lock is always given
 * back, or the port could not be closed.
 */
export function readPort(
  port: PortLike,
  onBytes: (bytes: Uint8Array) => void,
  onGap: (because: GapReason) => void,
): PortReading {
  const state = { stopped: false };
  // Asked anew each time: `stop` runs while the loop waits.
  const isStopped = (): boolean => state.stopped;
  let reader: ReadableStreamDefaultReader<Uint8Array> | null = null;

  async function loop(): Promise<'lost' | 'stopped'> {
    let errors = 0;
    while (!isStopped() && port.readable !== null) {
      reader = port.readable.getReader();
      try {
        for (;;) {
          const piece = await readOnce(reader);
          if ('failed' in piece) {
            const because = recoverable.get(piece.failed);
            errors += 1;
            if (because === undefined || errors > MOST_ERRORS_IN_A_ROW)
              return isStopped() ? 'stopped' : 'lost';
            onGap(because);
            break;
          }
          if (piece.done) return isStopped() ? 'stopped' : 'lost';
          errors = 0;
          onBytes(piece.value);
        }
      } finally {
        reader.releaseLock();
        reader = null;
      }
    }
    return isStopped() ? 'stopped' : 'lost';
  }

  const ended = loop();
  return {
    ended,
    async stop() {
      state.stopped = true;
      await reader?.cancel().catch(() => undefined);
      // A listener's error is told by `ended` itself.
      await ended.catch(() => undefined);
    },
  };
}

type Piece = ReadableStreamReadResult<Uint8Array> | { readonly failed: string };

/** Only the port's own errors are taken here: one of ours would read as a pulled cable. */
async function readOnce(reader: ReadableStreamDefaultReader<Uint8Array>): Promise<Piece> {
  try {
    return await reader.read();
  } catch (error) {
    // Branch on the name: a DOMException is an Error in some realms and not in others.
    return { failed: (error as { name?: string }).name ?? '' };
  }
}
