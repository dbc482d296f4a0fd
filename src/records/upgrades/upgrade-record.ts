import { ok, refused, type Outcome } from '../../base/outcome.ts';
import type { BenchRecord } from '../bench-record.ts';
import { RECORD_VERSION } from '../envelope.ts';
import { parseRecord } from '../schemas/record.ts';
import { toVersion2 } from './to-version-2.ts';
import { toVersion3 } from './to-version-3.ts';
import { isLooseRecord, type LooseRecord } from './loose-record.ts';

export type { LooseRecord } from './loose-record.ts';
/** Makes a record of the next version out of one version. Pure; stored bytes are never rewritten. */
export type Upgrader = (older: LooseRecord) => LooseRecord;

/** `upgraders[i]` makes version i + 2 out of version i + 1. */
export const recordUpgraders: readonly Upgrader[] = [toVersion2, toVersion3];

/**
 * A record as it was stored or imported → the present shape: version looked at first, then the upgraders in turn, then
 * the strict schema.
 * Errors: `storage-newer` with `found_version` and `known_version`; `storage-failed` with the `path` that is wrong.
 */
export function readRecord(stored: unknown): Outcome<BenchRecord> {
  const upgraded = upgrade(stored, recordUpgraders, RECORD_VERSION);
  return upgraded.ok ? parseRecord(upgraded.value) : upgraded;
}

/** The version check and the chain alone, apart from any shape. `upgraders` must lead from 1 to `known`. */
export function upgrade(
  stored: unknown,
  upgraders: readonly Upgrader[],
  known: number,
): Outcome<LooseRecord> {
  if (!isLooseRecord(stored)) return refused('storage-failed', { path: '', expected: 'Object' });
  const found = stored['recordVersion'];
  if (typeof found !== 'number' || !Number.isSafeInteger(found) || found < 1) {
    return refused('storage-failed', { path: 'recordVersion', expected: 'a whole number from 1' });
  }
  if (found > known) return refused('storage-newer', { found_version: found, known_version: known });
  let record = stored;
  for (let version = found; version < known; version += 1) {
    const step = upgraders[version - 1];
    if (step === undefined) throw new RangeError(`no upgrader from record version ${version}`);
    record = { ...step(record), recordVersion: version + 1 };
  }
  return ok(record);
}
