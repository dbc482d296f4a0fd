import { describe, expect, it } from 'vitest';
import { captureHeaderText } from '../../../src/signal/captures/write.ts';
import { captureHeaderOf } from '../../../web/worker/capture-header-of.ts';
import type { Source } from '../../../web/worker/device/source.ts';
import { readHeader } from '../../../web/worker/read-header.ts';
import { aSetup } from '../../builders/setup.ts';

const source: Pick<Source, 'description' | 'simulated' | 'headerFacts'> = {
  description: { kind: 'scale', bareUnit: null, averagedReadings: 4 },
  simulated: false,
  headerFacts: {},
};
const headerWith = (plumbing: ReturnType<typeof aSetup>['rig']['plumbing']) => {
  const setup = aSetup();
  return captureHeaderOf(
    'a-sweep',
    { ...setup, rig: { ...setup.rig, plumbing } },
    source as Source,
    '2026-11-26T09:00:00Z',
  );
};

describe('the header of a sweep made here', () => {
  it('names the rig and says nothing of what lies between gauge and tip when nobody told it', () => {
    const header = headerWith(null);
    expect(header.rig).toBe('green knapsack');
    expect(Object.keys(header)).not.toContain('gaugeAt');
    expect(captureHeaderText(header)).not.toContain('hoseLength_m');
  });

  it('carries what was told of it into the file and back, and leaves the rest out', () => {
    const header = headerWith({
      gaugeAt: 'pump',
      hoseLength_m: 91.44,
      hoseBore_m: 0.0127,
      tipAboveGauge_m: -2,
      weakestRating_Pa: 1e6,
    });
    const read = readHeader(captureHeaderText(header));
    expect(read).toMatchObject({
      ok: true,
      value: { gaugeAt: 'pump', hoseLength_m: 91.44, hoseBore_m: 0.0127, tipAboveGauge_m: -2 },
    });
  });
});
