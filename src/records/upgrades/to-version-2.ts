import { isLooseRecord, type LooseRecord } from './loose-record.ts';

/**
 * Version 2 knows what drives the water and what stands on the scale. All of version 1 was measured with a held pressure into a pail on
 * the scale, one catch at a time, at settings that were announced.
 */
export function toVersion2(older: LooseRecord): LooseRecord {
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
