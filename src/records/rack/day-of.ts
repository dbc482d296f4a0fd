/** The day where it was measured, as 2026-11-26; of a zone this machine does not know, of UTC. */
export function dayOf({ at_ms, timeZone }: { readonly at_ms: number; readonly timeZone: string }): string {
  try {
    return new Intl.DateTimeFormat('en-CA', { timeZone, dateStyle: 'short' }).format(at_ms);
  } catch {
    return new Date(at_ms).toISOString().slice(0, 10);
  }
}
