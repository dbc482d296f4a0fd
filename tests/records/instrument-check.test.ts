import { describe, expect, it } from 'vitest';
import { parseRecord } from '../../src/records/schemas/record.ts';
import { standing } from '../../src/records/standing.ts';
import { summarise } from '../../src/records/summary.ts';
import { memoryStore } from '../../web/worker/storage/memory-store.ts';
import { aCatch, anInstrumentCheck, aSweep, aSweepEnd, someChecks } from './build-records.ts';

describe('the record of a check', () => {
  it('is no sweep: alone it makes no line of the list, and beside one it changes nothing', async () => {
    const alone = someChecks.map((check, i) => anInstrumentCheck(20 + i, check));
    expect(summarise(alone.slice(0, 1), 0)).toBeNull();
    const sweep = [aSweep(1), aCatch(2, 1, 0), aSweepEnd(6, 1)];
    const beside = [...sweep, anInstrumentCheck(30, someChecks[0]!, 1)];
    expect(summarise(beside, 1)).toEqual(summarise(sweep, 1));
    expect(standing(beside)).toEqual(standing(sweep));

    const store = memoryStore();
    for (const record of [aSweep(1), ...alone, anInstrumentCheck(30, someChecks[0]!, 1)])
      expect(await store.add(record)).toEqual({ ok: true, value: true });
    const listed = await store.sweeps();
    expect(listed.ok && listed.value.map((line) => line.sweepId)).toEqual([aSweep(1).id]);
    const kept = await store.records(aSweep(1).id);
    expect(kept.ok && kept.value.map((record) => record.kind)).toEqual(['sweep', 'instrument-check']);
  });

  it('refuses a factor of zero, a decision nobody offers and a ± that is none', () => {
    const [scale] = someChecks;
    if (scale?.kind !== 'scale') throw new Error('not the scale');
    for (const wrong of [
      { factor: 0 },
      { factor: -1 },
      { decision: 'maybe' },
      { relativeStandardUncertainty: NaN },
    ]) {
      const odd = anInstrumentCheck(20, { ...scale, ...wrong } as never);
      expect(parseRecord(odd)).toMatchObject({ ok: false, because: 'storage-failed' });
    }
  });
});
