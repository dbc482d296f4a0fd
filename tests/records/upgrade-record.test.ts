import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { RECORD_VERSION } from '../../src/records/envelope.ts';
import {
  readRecord,
  recordUpgraders,
  upgrade,
  type Upgrader,
} from '../../src/records/upgrades/upgrade-record.ts';
import { aStrike } from './build-records.ts';

// One frozen file a version; its hash is pinned so that nobody "repairs" an old record to make a test pass.
const frozen: Readonly<Record<number, string>> = {
  1: 'f84994e666040d9011b619148343d76923fc811d96e72b116fa18f48f99588d7',
  2: '4f21c8a9d50c72becc7692241197ec7e2c1cc402cc7553c12b6c26935db94ab9',
  3: 'ef9512f56029e4ce212c689f02d3f4c0a3ec06d2d3b649e7ac5162a30bf0d2b9',
};

function frozenText(version: number): string {
  const file = new URL(`../fixtures/records/record-version-${version}.json`, import.meta.url);
  return readFileSync(file, 'utf8');
}

describe('records of old versions', () => {
  it('have a frozen file for every version there has been', () => {
    expect(Object.keys(frozen)).toEqual(Array.from({ length: RECORD_VERSION }, (_, i) => String(i + 1)));
    expect(recordUpgraders).toHaveLength(RECORD_VERSION - 1);
  });

  it.each(Object.keys(frozen).map(Number))('version %d: the frozen file is as it was written', (version) => {
    expect(createHash('sha256').update(frozenText(version)).digest('hex')).toBe(frozen[version]);
  });

  it.each(Object.keys(frozen).map(Number))('version %d: every frozen record can still be read', (version) => {
    const records = JSON.parse(frozenText(version)) as unknown[];
    expect(records.length).toBeGreaterThan(0);
    for (const record of records) {
      const read = readRecord(record);
      expect(read).toMatchObject({ ok: true, value: { recordVersion: RECORD_VERSION } });
      if (version === RECORD_VERSION) expect(read).toEqual({ ok: true, value: record });
    }
  });

  it('are told apart from newer ones, which are refused with both numbers, whatever their shape', () => {
    const newer = { recordVersion: RECORD_VERSION + 3, kind: 'unheard-of' };
    expect(readRecord(newer)).toEqual({
      ok: false,
      because: 'storage-newer',
      facts: { found_version: RECORD_VERSION + 3, known_version: RECORD_VERSION },
    });
  });

  it.each([0, -1, 1.5, '1', null, undefined])(
    'are refused as damaged with the version %j',
    (recordVersion) => {
      expect(readRecord({ ...aStrike(4, 1, 10), recordVersion })).toMatchObject({
        ok: false,
        because: 'storage-failed',
        facts: { path: 'recordVersion' },
      });
    },
  );
});

describe('the chain of upgraders', () => {
  const chain: readonly Upgrader[] = [
    ({ name_, ...rest }) => ({ ...rest, tipName: name_ }),
    (older) => ({ ...older, added: 0 }),
  ];

  it('runs from the version found to the present one, in order', () => {
    expect(upgrade({ recordVersion: 1, name_: 'a' }, chain, 3)).toEqual({
      ok: true,
      value: { recordVersion: 3, tipName: 'a', added: 0 },
    });
    expect(upgrade({ recordVersion: 2, tipName: 'b' }, chain, 3)).toEqual({
      ok: true,
      value: { recordVersion: 3, tipName: 'b', added: 0 },
    });
  });

  it('leaves the stored record as it was', () => {
    const stored = Object.freeze({ recordVersion: 1, name_: 'a' });
    upgrade(stored, chain, 3);
    expect(stored).toEqual({ recordVersion: 1, name_: 'a' });
  });
});
