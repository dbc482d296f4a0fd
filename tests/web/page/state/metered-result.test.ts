import { expect, test } from 'vitest';
import { isMetered, resultOfSweep } from '../../../../web/state/result-data.ts';
import { sampleCatch, sampleSweep } from '../sample-sweep.ts';

test('of a scale that was not there nothing is said; of one that was there it is', () => {
  const warnings = ['scale-not-checked', 'meter-not-checked'] as const;
  const metered = sampleSweep({ warnings, catches: [sampleCatch(0, 40, { flowFrom: 'pulses' })] });
  expect(resultOfSweep(metered).warnings).toEqual(['meter-not-checked']);
  const weighed = sampleSweep({ warnings, catches: [sampleCatch(0, 40, { flowFrom: 'mass' })] });
  expect(resultOfSweep(weighed).warnings).toEqual(warnings);
  expect(isMetered([])).toBe(false);
});
