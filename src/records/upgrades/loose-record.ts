/** A record of any version, of which nothing is known yet but that it is an object. */
export type LooseRecord = Readonly<Record<string, unknown>>;

export function isLooseRecord(stored: unknown): stored is LooseRecord {
  return typeof stored === 'object' && stored !== null && !Array.isArray(stored);
}
