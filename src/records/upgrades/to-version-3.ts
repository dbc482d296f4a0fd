import { isLooseRecord, type LooseRecord } from './loose-record.ts';

/** Version 3 knows why a sweep is made, several tips in one, and what lies between gauge and tip; nobody said so before. */
export function toVersion3(older: LooseRecord): LooseRecord {
  const setup = older['setup'];
  if (!isLooseRecord(setup) || !isLooseRecord(setup['rig'])) return older;
  return {
    ...older,
    setup: { ...setup, rig: { ...setup['rig'], plumbing: null }, occasion: 'sweep', routine: null },
  };
}
