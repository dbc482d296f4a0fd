import { isLooseRecord, type LooseRecord } from './loose-record.ts';

/**
 * Version 2 knows what drives the water and what stands on the scale. All of version 1 was measured with a held pressure into a pail on
 * the scale, one catch at a time, at settings that were announced. The end of a sweep keeps its marks from version 2 on.
 */
export function toVersion2(older: LooseRecord): LooseRecord {
  if (older['kind'] === 'sweep-end') return { ...older, marks: null };
  const setup = older['setup'];
  if (!isLooseRecord(setup) || !isLooseRecord(setup['rig'])) return older;
  return {
    ...older,
    setup: {
      ...setup,
      rig: { ...setup['rig'], kind: 'held', strokePeriod_s: null, standsOnScale: 'pail' },
      protocol: 'each-catch',
      settingsFrom: 'prompts',
    },
  };
}
