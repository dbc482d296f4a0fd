import type { RigCheckFound } from './evidence.ts';

/** The newest of each kind of check; of gauges at the wand the newest at each setting. In the order they were found. */
export function newestOfKind(found: readonly RigCheckFound[]): readonly RigCheckFound[] {
  const newest = new Map<string, RigCheckFound>();
  for (const one of found) {
    const key = one.kind === 'wand-gauge' ? `${one.kind} ${String(Math.round(one.setting_Pa))}` : one.kind;
    newest.delete(key);
    newest.set(key, one);
  }
  return [...newest.values()];
}
