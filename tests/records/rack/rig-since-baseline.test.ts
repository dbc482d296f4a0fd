import { describe, expect, it } from 'vitest';
import { isRigChanged } from '../../../src/records/rack/rig-since-baseline.ts';
import { assembleRack } from '../../../src/records/rack/rack.ts';
import type { BenchRecord } from '../../../src/records/bench-record.ts';
import { FOOT_M, MINUTE_S, PSI_PA, US_GALLON_M3 } from '../../../src/base/units/constants.ts';
import { simulatedSeason } from '../../../src/simulation/season.ts';

const untold = { gaugeAt: null, hoseLength_m: null, hoseBore_m: null, tipAboveGauge_m: null };
const short = { gaugeAt: 'pump' as const, hoseLength_m: 3, hoseBore_m: 0.0127, tipAboveGauge_m: 0 };
const long = { ...short, hoseLength_m: 300 * FOOT_M };
const on = (plumbing: typeof short | typeof untold) => ({
  measuredOn: [
    {
      plumbing,
      points: [20, 40, 60].map((psi) => ({
        pressure_Pa: psi * PSI_PA,
        flow_m3_per_s: (0.4 * Math.sqrt(psi / 40) * US_GALLON_M3) / MINUTE_S,
      })),
    },
  ],
});

describe('the rig since the baseline', () => {
  it('is as it was where the plumbing is told alike, or never was', () => {
    expect(isRigChanged(on(short), short)).toBe(false);
    expect(isRigChanged(on(untold), untold)).toBe(false);
    expect(isRigChanged({}, short)).toBe(false);
  });

  it('is another where only one of them is known, or the estimated losses differ by over 3 % of pressure', () => {
    expect(isRigChanged(on(untold), short)).toBe(true);
    expect(isRigChanged(on(short), untold)).toBe(true);
    expect(isRigChanged(on(short), { ...short, hoseLength_m: 3.5 })).toBe(false);
    // Measurement 11.5: 300 ft of 1/2 in lose some 3 % at 0.4 gal/min; half that bore loses many times as much.
    expect(isRigChanged(on(short), { ...long, hoseBore_m: 0.00635 })).toBe(true);
    // 2 m of height are 2.8 psi of 40.
    expect(isRigChanged(on(short), { ...short, tipAboveGauge_m: 2 })).toBe(true);
  });
});

it('a hose that is new since the baseline: less flow is not blamed on the tip alone', () => {
  const season = simulatedSeason(3, Date.UTC(2026, 10, 25, 18));
  const tip = assembleRack(season).tips.find(({ name }) => name === 'Backpack A')!;
  const newest = tip.sweeps[0]!.sweepId;
  const later = (record: BenchRecord): BenchRecord => {
    if (record.sweepId !== newest) return record;
    if (record.kind === 'catch')
      return {
        ...record,
        shown: { ...record.shown, flow_m3_per_s: 0.92 * record.shown.flow_m3_per_s! },
      };
    if (record.kind !== 'sweep') return record;
    const told = record.captureHeader
      .split('\n')
      .filter((line) => line !== '' && !/gaugeAt|hose|tipAbove/.test(line));
    told.push('# gaugeAt: pump', '# hoseLength_m: 91.4', '# hoseBore_m: 0.0127', '# tipAboveGauge_m: 5', '');
    return { ...record, captureHeader: told.join('\n') };
  };
  const { diagnosis } = assembleRack(season.map(later)).tips.find(({ name }) => name === 'Backpack A')!;
  expect(diagnosis!.reference.from).toBe('baseline');
  expect(diagnosis!.said).toBe('restricted');
  expect(diagnosis!.pressureMayBeLost).toBe(true);
});
