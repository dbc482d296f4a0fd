import { describe, expect, test } from 'vitest';
import { driftOfRig } from '../../../src/analysis/drift/drift-of-rig.ts';
import type { DriftChart } from '../../../src/analysis/drift/drift.ts';
import { wearTogether } from '../../benchmarks/drift-parts/wear-together.ts';
import { Random } from '../../../src/simulation/random.ts';
import { firstSignal, madeRig, WEEK_ms } from '../../benchmarks/drift-parts/made-seasons.ts';

const random = (name: string) => new Random(23).stream(name);
const charts = (
  options: Partial<Parameters<typeof madeRig>[0]> & { random: Random },
): readonly DriftChart[] => [
  ...driftOfRig(madeRig({ tips: 3, weeks: 20, standardDeviation: 0.005, ...options })).values(),
];

describe('tips that wear together', () => {
  test.each([
    [2, 0.02, 0.002],
    [2, 0.02, 0.005],
    [2, 0.01, 0.005],
    [4, 0.02, 0.005],
  ])(
    '%d tips, %d a week, s %d: seen, and hardly ever said to be the rig’s',
    (tips, wear, standardDeviation) => {
      const score = wearTogether({ tips, wear, standardDeviation, weeks: 16, runs: 60, seed: 77 });
      expect(score.signalledPercent).toBeGreaterThan(98);
      // What is taken off for a jump is one week's move at most, not the wear of all weeks.
      expect(score.takenOffOfWearPercent).toBeLessThan(10);
      expect(score.forecastPercent).toBeGreaterThan(85);
    },
  );

  test('nothing of a ramp is taken off: the average stands at the wear, and the words name both', () => {
    for (const chart of charts({ random: random('ramp'), wear: (_, week) => 0.02 * week })) {
      expect(chart.rigJumps).toEqual([]);
      expect(chart.points.at(-1)!.sharedJump).toBe(0);
      // An average with weight 0.4 is 1.5 weeks behind: 2 % × 18.5.
      expect(chart.points.at(-1)!.average).toBeCloseTo(0.37, 1);
      expect(chart.points.at(-1)!.signals).toBe(true);
      expect(chart.warnings).toContain('tips-changed-alike');
      expect(chart.warnings).not.toContain('rig-jumped');
      expect(chart.forecast!.perWeek).toBeCloseTo(0.02, 2);
    }
  });

  test('wear after a jump of the rig that stays is seen as wear: only the jump is taken off', () => {
    const made = charts({
      random: random('jump and wear'),
      rig: (week) => (week >= 8 ? -0.05 : 0),
      wear: (_, week) => 0.008 * Math.max(0, week - 9),
    });
    for (const chart of made) {
      expect(chart.rigJumps.map(({ at_ms }) => Math.round(at_ms / WEEK_ms))).toEqual([8]);
      expect(chart.points.at(-1)!.sharedJump).toBeCloseTo(-0.05, 1);
      expect(firstSignal(chart, 9)).toBeLessThanOrEqual(6);
      expect(chart.points.at(-1)!.average).toBeGreaterThan(0.05);
      expect(chart.warnings).toContain('tips-changed-alike');
    }
  });

  test('one that wears, with others that do not, says nothing of the rig', () => {
    for (const chart of charts({
      random: random('one'),
      wear: (tip, week) => (tip === 0 ? 0.005 * week : 0),
    }))
      expect(chart.warnings).not.toContain('tips-changed-alike');
  });

  test('a jump that stays widens the limits by what its size is not known by', () => {
    const [sound] = charts({ random: random('wide') });
    const [jumped] = charts({ random: random('wide'), rig: (week) => (week >= 10 ? -0.05 : 0) });
    expect(jumped!.points.at(-1)!.limit!).toBeGreaterThan(1.1 * sound!.points.at(-1)!.limit!);
    expect(firstSignal(jumped!, 0)).toBe(Infinity);
  });

  test('a tip whose baseline was made after the jump has nothing taken off', () => {
    const tips = madeRig({
      tips: 3,
      weeks: 24,
      standardDeviation: 0.003,
      random: random('later'),
      rig: (week) => (week >= 6 ? -0.05 : 0),
    });
    const late = tips[2]!;
    const found = driftOfRig([
      ...tips.slice(0, 2),
      { ...late, baseline: late.checks.slice(8, 11), checks: late.checks.slice(11) },
    ]).get(late.key)!;
    expect(found.points.every(({ sharedJump }) => sharedJump === 0)).toBe(true);
    expect(firstSignal(found, 0)).toBe(Infinity);
  });
});

describe('a real step', () => {
  test.each([-0.2, 0.2, -0.6])(
    'of %d asks once; the second check that says the same counts, and signals',
    (step) => {
      const [chart] = charts({
        random: random(`step ${step}`),
        wear: (tip, week) => (tip === 0 && week >= 9 ? step : 0),
      });
      expect(chart!.points.map(({ leftOutBecause }) => leftOutBecause !== null).lastIndexOf(true)).toBe(8);
      expect(chart!.points[8]!.leftOutBecause).toBe('is-this-the-tip');
      expect(firstSignal(chart!, 8)).toBe(2);
      expect(chart!.points.at(-1)!.signals).toBe(true);
      expect(chart!.weeklyStandardDeviation).toBeLessThan(0.01);
    },
  );

  test('two checks far off that do not agree with each other both wait for an answer', () => {
    const [chart] = charts({
      random: random('unlike'),
      wear: (tip, week) => (tip !== 0 ? 0 : week === 9 ? -0.4 : week === 10 ? 0.4 : 0),
    });
    expect([8, 9, 10].map((i) => chart!.points[i]!.leftOutBecause !== null)).toEqual([true, true, false]);
    expect(firstSignal(chart!, 0)).toBe(Infinity);
  });
});
