import { expect, test } from 'vitest';
import { delayOfWear } from '../../../src/analysis/drift/delay.ts';
import { limitWidth } from '../../../src/analysis/drift/limit-width.ts';
import { sharedJump } from '../../../src/analysis/drift/shared-jump.ts';
import { estimatedSpread, knownSpread } from '../../benchmarks/drift-parts/made-seasons.ts';
import { forecasts } from '../../benchmarks/drift-parts/forecasts.ts';
import { rigJumps } from '../../benchmarks/drift-parts/rig-jumps.ts';
import { Random } from '../../../src/simulation/random.ts';

test('width of the limits: the study’s figures two degrees later, none under six, falling all the way', () => {
  expect(limitWidth(5.9)).toBeNull();
  expect(limitWidth(0)).toBeNull();
  expect(limitWidth(6)).toBeCloseTo(5.8, 10);
  expect(limitWidth(8)).toBeCloseTo(4.7, 10);
  expect(limitWidth(12)).toBeCloseTo(4.0, 10);
  expect(limitWidth(22)).toBeCloseTo(3.6, 10);
  expect(limitWidth(42)).toBeCloseTo(3.4, 10);
  expect(limitWidth(1e9)).toBeCloseTo(3.2, 6);
  for (let df = 6; df < 200; df++) expect(limitWidth(df + 1)!).toBeLessThan(limitWidth(df)!);
});

test('the stated delay is that of the study (s 0.5 %, L 3.2, baseline of three): .1, .25, .5, 1 % a week', () => {
  const study = [
    [0.001, 13.3, 18],
    [0.0025, 6.7, 9],
    [0.005, 4.2, 5],
    [0.01, 2.7, 3],
  ] as const;
  for (const [perWeek, mean, ninety] of study) {
    const stated = delayOfWear(0.005, 3.2, 3, perWeek)!;
    expect(Math.abs(stated.mean - mean) / mean).toBeLessThan(0.08);
    expect(Math.abs(stated.ninetyPercent - ninety)).toBeLessThanOrEqual(1);
  }
  // A free knob good to 1.5 psi at 40 psi gives s of about 1.1 %: longer, and said so.
  expect(delayOfWear(0.011, 3.2, 3)!.mean).toBeGreaterThan(6);
  expect(delayOfWear(0.05, 3.2, 3, 1e-6)).toBeNull();
});

test('a rig that gives 3 % less for good: the rig is blamed in that week, its tips are not', () => {
  const [score] = rigJumps(60, 913, [-0.03]);
  expect(score!.rigBlamedInThatWeekPercent).toBeGreaterThan(95);
  expect(score!.tipsBlamedPercent).toBeLessThan(16);
}, 60_000);

test('known spread: false alarms in 52 weeks as in the study (3.4 %), a fifth of the runs of the benchmark', () => {
  const random = new Random(910);
  let alarms = 0;
  for (let i = 0; i < 800; i++)
    if (knownSpread(random.stream(i), { weight: 0.4, width: 3.2, baseline: 3 }, 52, 0, 0) < Infinity)
      alarms++;
  expect(alarms / 800).toBeGreaterThan(0.018);
  expect(alarms / 800).toBeLessThan(0.055);
});

test('estimated spread: few false alarms, wear of half a per cent a week seen, forecasts cover', () => {
  const score = estimatedSpread(4, 200, 911);
  expect(score.falseAlarmPercent).toBeLessThan(6);
  expect(score.falseRigJumpPercent).toBeLessThan(0.5);
  expect(score.halfPercentAWeek.withinFiveWeeksPercent).toBeGreaterThan(80);
  expect(score.halfPercentAWeek.neverPercent).toBe(0);
  const forecast = forecasts(4, 10, 200, 912);
  expect(forecast.coveragePercent).toBeGreaterThan(89);
  expect(forecast.fifthPercentile).toBeGreaterThan(16.5);
  expect(forecast.ninetyFifthPercentile).toBeLessThan(25);
}, 60_000);

test('a shared jump: two that agree, not two that differ; of four one may differ, of three none', () => {
  const changes = (...values: number[]) => values.map((value) => ({ value, standardDeviation: 0.007 }));
  expect(sharedJump(changes(-0.05), 60)).toBeNull();
  expect(sharedJump(changes(-0.05, -0.052), 60)!.jump).toBeCloseTo(-0.051, 6);
  expect(sharedJump(changes(-0.1, 0), 60)).toBeNull();
  expect(sharedJump(changes(-0.05, -0.048, 0.02), 60)).toBeNull();
  expect(sharedJump(changes(-0.05, -0.048, 0.02, -0.052), 60)).toMatchObject({ tips: 3 });
  expect(sharedJump(changes(0.004, 0.006, 0.005), 60)).toBeNull();
});
