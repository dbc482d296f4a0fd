import { describe, expect, it } from 'vitest';
import type { BenchRecord } from '../../src/records/bench-record.ts';
import { parseRecord } from '../../src/records/schemas/record.ts';
import {
  aByHandSweep,
  aCatch,
  anInstrumentCheck,
  someChecks,
  anUndoneStrike,
  aStrike,
  aSweep,
  aSweepEnd,
  aWithdrawal,
} from './build-records.ts';

const oneOfEach: readonly BenchRecord[] = [
  aSweep(1),
  aSweep(1, {
    instrument: {
      kind: 'bench-board',
      kilogramsPerCount: 2.38e-6,
      countsAtZero: 12,
      averagedReadings: null,
      pulsesPerCubicMetre: 455000,
      meterOffset_Hz: 0.4,
      pressureFullScale_Pa: 1034214,
    },
  }),
  aCatch(2, 1, 0),
  aWithdrawal(3, 1, 10, 2),
  aStrike(4, 1, 10),
  anUndoneStrike(5, 1, 10, 4),
  aSweepEnd(6, 1),
  aByHandSweep(7),
  ...someChecks.map((check, i) => anInstrumentCheck(20 + i, check)),
];

describe('the strict shapes', () => {
  it.each(oneOfEach)('take a $kind as it is and give it back unchanged', (record) => {
    expect(parseRecord(record)).toEqual({ ok: true, value: record });
  });

  it('refuse a key they do not know and say where it is', () => {
    const odd = aSweep(1, { setup: { ...aSweep(1).setup, colour: 'red' } as never });
    expect(parseRecord(odd)).toMatchObject({
      ok: false,
      because: 'storage-failed',
      facts: { path: 'setup.colour' },
    });
  });

  it.each([NaN, Infinity])('refuse %d as a quantity', (flow_m3_per_s) => {
    const caught = aCatch(2, 1, 0);
    const odd = { ...caught, shown: { ...caught.shown, flow_m3_per_s } };
    expect(parseRecord(odd)).toMatchObject({ ok: false, facts: { path: 'shown.flow_m3_per_s' } });
  });

  it('refuse a reason that is none of the closed union', () => {
    const odd = { ...aWithdrawal(3, 1, 10, 2), because: 'somehow' };
    expect(parseRecord(odd)).toMatchObject({ ok: false, facts: { path: 'because' } });
  });

  it.each([
    ['id', 'seven'],
    ['timeZone', 'No Zone!'],
    ['recordedAt_ms', 1.5],
    ['simulated', 'yes'],
    ['kind', 'pour'],
  ])('refuse an envelope with a wrong %s', (key, value) => {
    expect(parseRecord({ ...aStrike(4, 1, 10), [key]: value })).toMatchObject({
      ok: false,
      facts: { path: key },
    });
  });

  it.each([null, undefined, 7, 'sweep', []])('refuse %j, which is no record at all', (candidate) => {
    expect(parseRecord(candidate).ok).toBe(false);
  });
});
