import { expect, test } from 'vitest';
import { forecastOf } from '../../../src/analysis/drift/forecast.ts';

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
