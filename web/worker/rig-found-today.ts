import type { RigCheckFound } from '../../src/analysis/diagnosis/evidence.ts';
import { nameKey } from '../../src/base/name-key.ts';
import type { BenchStore } from './storage/bench-store.ts';

/**
 * What checks of this rig have found today, in the order they were made; none where the store can't tell. Simulated ones never count:
 * a simulated rig is another one each time its bench is opened.
 */
export async function rigFoundToday(
  store: BenchStore,
  rigName: string,
  now_ms: number,
): Promise<readonly RigCheckFound[]> {
  const kept = await store.recordsOfKinds(['rig-check']);
  if (!kept.ok) return [];
  const replaced = new Set(kept.value.records.map(({ replaces }) => replaces));
  const day = new Date(now_ms).toDateString();
  return kept.value.records.flatMap((record) =>
    record.kind === 'rig-check' &&
    !record.simulated &&
    !replaced.has(record.id) &&
    nameKey(record.rigName) === nameKey(rigName) &&
    new Date(record.recordedAt_ms).toDateString() === day
      ? [record.found]
      : [],
  );
}
