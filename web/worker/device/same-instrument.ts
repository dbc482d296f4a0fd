import type { InstrumentDescription } from '../../../src/signal/reading.ts';

/** Would both make the same readings of the same lines? One field that differs, and a kept sweep must not go on with it. */
export function isSameInstrument(a: InstrumentDescription, b: InstrumentDescription): boolean {
  const told = Object.entries(a);
  const other = new Map<string, unknown>(Object.entries(b));
  return told.length === other.size && told.every(([field, value]) => Object.is(other.get(field), value));
}
