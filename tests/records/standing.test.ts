import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { standing } from '../../src/records/standing.ts';
import { summarise } from '../../src/records/summary.ts';
import {
  aByHandSweep,
  aCatch,
  anId,
  anUndoneStrike,
  aStrike,
  aSweep,
  aSweepEnd,
  aWithdrawal,
} from './build-records.ts';

const SEED = 20261125;
const aWholeSweep = [
  aSweep(1),
  aCatch(2, 1, 0),
  aCatch(3, 1, 1),
  aStrike(4, 1, 70),
  aCatch(5, 1, 2),
  aWithdrawal(6, 1, 130, 5),
  anUndoneStrike(7, 1, 70, 4),
  aStrike(8, 1, 10),
  aCatch(9, 1, 1, { replaces: anId(3), setting_Pa: 137895 }),
  aSweepEnd(10, 1),
];

describe('what stands of a sweep', () => {
  it('leaves out catches withdrawn or corrected and keeps struck ones with their strike', () => {
    const { sweep, catches, end } = standing(aWholeSweep);
    expect(sweep?.id).toBe(anId(1));
    expect(end?.id).toBe(anId(10));
    expect(catches.map(({ record, strike }) => [record.id, strike?.id ?? null])).toEqual([
      [anId(2), anId(8)],
      [anId(9), null],
    ]);
  });

  it(`does not depend on the order in which records are given (seed ${SEED})`, () => {
    const inOrder = standing(aWholeSweep);
    fc.assert(
      fc.property(fc.shuffledSubarray(aWholeSweep, { minLength: aWholeSweep.length }), (shuffled) => {
        expect(standing(shuffled)).toEqual(inOrder);
        expect(summarise(shuffled, 4)).toEqual(summarise(aWholeSweep, 4));
      }),
      { seed: SEED, numRuns: 200 },
    );
  });

  it('takes the last word on a catch struck, restored and struck again', () => {
    const again = [
      aSweep(1),
      aCatch(2, 1, 0),
      aStrike(3, 1, 10),
      anUndoneStrike(4, 1, 10, 3),
      aStrike(5, 1, 10),
    ];
    expect(standing(again).catches[0]?.strike?.id).toBe(anId(5));
  });

  it('finds the catch of a strike whose start went through a file with three decimals', () => {
    const { catches } = standing([aSweep(1), aCatch(2, 1, 0, { start_s: 4.31249 }), aStrike(3, 1, 4.312)]);
    expect(catches[0]?.strike?.id).toBe(anId(3));
  });
});

describe('the summary of a sweep', () => {
  it('needs no catch records but the corrections among them', () => {
    const light = aWholeSweep.filter((record) => record.kind !== 'catch' || record.replaces !== null);
    expect(summarise(light, 4)).toEqual(summarise(aWholeSweep, 4));
    expect(summarise(light, 4)).toEqual({
      sweepId: anId(1),
      startedAt_ms: 1_777_885_921_000,
      timeZone: 'America/Chicago',
      tipName: 'left knapsack',
      rigName: 'knapsack',
      simulated: true,
      timedByHand: false,
      finished: true,
      catches: 2,
      struck: 1,
      nozzleConstant_m3_per_s_per_sqrtPa: 4.8e-8,
      nozzleConstantExpanded95_m3_per_s_per_sqrtPa: 2.5e-9,
      // The rated pressure, because the sweep was compared with its rating there.
      toldPressure_Pa: 275790,
      unreadable: null,
    });
  });

  it('is unfinished and without a number until the sweep has ended', () => {
    expect(summarise([aSweep(1), aCatch(2, 1, 0)], 1)).toMatchObject({
      finished: false,
      // Of two settings the lower.
      toldPressure_Pa: 137895,
      catches: 1,
      nozzleConstant_m3_per_s_per_sqrtPa: null,
    });
  });

  it('of a sweep timed by hand says so and counts its catches', () => {
    expect(summarise([aByHandSweep(1)], 0)).toMatchObject({ timedByHand: true, finished: true, catches: 1 });
  });

  it('of a sweep timed by hand tells the flow where it was caught, not where it was planned', () => {
    const byHand = aByHandSweep(1);
    const unrated = { ...byHand, shown: { ...byHand.shown, rated: null } };
    // Planned at two settings, of which the lower would be the middle one; caught at the upper only.
    expect(summarise([unrated], 0)).toMatchObject({ toldPressure_Pa: 275790 });
  });

  it('shows a corrected tip name and still the day it began', () => {
    const setup = { ...aSweep(1).setup, tip: { ...aSweep(1).setup.tip, name: 'right knapsack' } };
    const corrected = aSweep(9, { sweepId: anId(1), replaces: anId(1), setup });
    expect(summarise([aSweep(1), corrected], 0)).toMatchObject({
      sweepId: anId(1),
      tipName: 'right knapsack',
      startedAt_ms: aSweep(1).recordedAt_ms,
    });
  });

  it('does not exist without the record that begins it', () => {
    expect(summarise([aCatch(2, 1, 0)], 1)).toBeNull();
  });
});
