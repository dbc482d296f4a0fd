import type { SerialLike } from './serial-source.ts';

/** Web Serial of this worker, or null where the browser has none (the types claim that it is always there). */
export function serialHere(): SerialLike | null {
  const { navigator: here } = globalThis as { navigator?: { serial?: SerialLike } };
  return here?.serial ?? null;
}
