import { describe, expect, test } from 'vitest';
import { forecastOf } from '../../../src/analysis/drift/forecast.ts';
import { Random } from '../../../src/simulation/random.ts';

const spread = { standardDeviation: 0.005, degreesOfFreedom: 40 };
const baseline = [
  { week: -0.14, value: 0.002 },
  { week: 0, value: -0.003 },
  { week: 0.14, value: 0.001 },
];
const line = (weeks: number, perWeek: number, from = 0) =>
  Array.from({ length: weeks }, (_, i) => ({ week: i + 1, value: perWeek * Math.max(0, i + 1 - from) }));

test('a straight wear: the week, and an interval round it that narrows', () => {
  const after = (weeks: number) => forecastOf(baseline, line(weeks, 0.005), spread, 0.1).forecast!;
  expect(after(8).week).toBeCloseTo(20, 0);
  expect(after(8).earliest).toBeLessThan(20);
  expect(after(8).latest!).toBeGreaterThan(20);
  expect(after(16).latest! - after(16).earliest).toBeLessThan(after(8).latest! - after(8).earliest);
});

test('what is not enough, not rising, not steady is said', () => {
  const because = (...given: Parameters<typeof forecastOf>) => forecastOf(...given).because;
  expect(because(baseline, line(3, 0.005), spread, 0.1)).toBe('forecast-needs-more');
  expect(because(baseline, line(8, 0.005), null, 0.1)).toBe('forecast-needs-more');
  expect(because(baseline, line(8, 0.005), { ...spread, degreesOfFreedom: 4 }, 0.1)).toBe(
    'forecast-needs-more',
  );
  expect(because(baseline, line(8, 0), spread, 0.1)).toBe('flow-not-rising');
  expect(because(baseline, line(8, -0.01), spread, 0.1)).toBe('flow-not-rising');
  const zigzag = line(9, 0).map(({ week }, i) => ({ week, value: i % 2 === 0 ? 0.05 : -0.05 }));
  expect(because(baseline, zigzag, spread, 0.1)).toBe('change-not-steady');
});

test('a wear that began late is carried on from there, not from the baseline', () => {
  const { forecast } = forecastOf(baseline, line(24, 0.01, 14), spread, 0.15);
  expect(forecast!.week).toBeGreaterThan(28);
  expect(forecast!.week).toBeLessThan(30);
});

describe('accelerated wear as published (Agricultural Engineering 2018, doi 10.1515/agriceng-2018-0037)', () => {
  // Nominal 1.19 L/min; 1.31 after 35 h in run 1, +10 % at about 30 h in run 2; +27.5 % at 100 h. In between straight lines, with the
  // scatter of a catch put on: hours here stand where weeks do.
  function flowRatio(hours: number, tenAt: number): number {
    if (hours <= tenAt) return (0.1008 * hours) / tenAt;
    return 0.1008 + ((0.275 - 0.1008) * (hours - tenAt)) / (100 - tenAt);
  }

  test.each([
    [35, 'run 1'],
    [30, 'run 2'],
  ])('after 20 h the forecast of +10 %% holds %d h (%s)', (tenAt) => {
    const random = new Random(5).stream(tenAt);
    const checks = Array.from({ length: 8 }, (_, i) => 2.5 * (i + 1)).map((week) => ({
      week,
      value: flowRatio(week, tenAt) + 0.003 * random.normal(),
    }));
    const { forecast } = forecastOf(
      baseline,
      checks,
      { standardDeviation: 0.003, degreesOfFreedom: 40 },
      0.1,
    );
    expect(forecast!.earliest).toBeLessThan(tenAt);
    expect(forecast!.latest!).toBeGreaterThan(tenAt - 1);
    expect(Math.abs(forecast!.week - tenAt)).toBeLessThan(4);
  });

  test('carried on from 60 h, +27.5 % comes at 100 h as published', () => {
    const random = new Random(6);
    const checks = Array.from({ length: 24 }, (_, i) => 2.5 * (i + 1)).map((week) => ({
      week,
      value: flowRatio(week, 35) + 0.003 * random.normal(),
    }));
    const { forecast } = forecastOf(
      baseline,
      checks,
      { standardDeviation: 0.003, degreesOfFreedom: 40 },
      0.275,
    );
    expect(Math.abs(forecast!.week - 100)).toBeLessThan(6);
  });
});
