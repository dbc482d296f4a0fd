import { expect, test } from 'vitest';
import { overWeeksSentence, rackKeyOf } from '../../../../web/wording/over-weeks.ts';
import { keyOf } from '../../../../src/records/rack/book.ts';
import { sampleDrift } from '../sample-rack.ts';

const drift = sampleDrift(0.001);
const last = drift.points.at(-1)!;
const tip = { drift, driftBecause: null, baseline: null, baselineBecause: null };
const withLast = (more: Partial<typeof last>) => ({
  ...tip,
  drift: { ...drift, points: [...drift.points.slice(0, -1), { ...last, ...more }] },
});

test('a weekly check is told against its baseline, with its ±', () => {
  const over = withLast({ deviation: 0.009, expandedUncertainty95: 0.022, signals: false });
  expect(overWeeksSentence(over, last.sweepId, 'weekly-check')).toBe(
    '0.9 % over its baseline, give or take 2.2.',
  );
  const under = withLast({ deviation: -0.031, expandedUncertainty95: 0.009, signals: true });
  expect(overWeeksSentence(under, last.sweepId, 'weekly-check')).toMatch(
    /^3\.10? % under its baseline, give or take 0\.90?; its running average is beyond the limit\.$/,
  );
  const apart = withLast({ leftOutBecause: 'is-this-the-tip' });
  expect(overWeeksSentence(apart, last.sweepId, 'weekly-check')).toContain('may be another tip');
  expect(overWeeksSentence(tip, last.sweepId, 'sweep')).toBe('');
});

test('without a baseline a weekly check says so, and not that too few settings were measured', () => {
  const none = { ...tip, drift: null, driftBecause: 'no-baseline' as const };
  const said = overWeeksSentence(none, 'one', 'weekly-check');
  expect(said).toMatch(/^Kept for the weeks; not held against a baseline yet\. ./);
  expect(said).not.toContain('settings');
});

test('a new tip’s sweep is told as its baseline, of which three are wanted', () => {
  const baseline = {
    nozzleConstant_m3_per_s_per_sqrtPa: 4e-8,
    relativeStandardUncertainty: 0.004,
    at_ms: 0,
    rigName: 'green knapsack',
  };
  const after = (sweepIds: readonly string[]) =>
    overWeeksSentence({ ...tip, baseline: { ...baseline, sweepIds } }, 'c', 'new-tip');
  expect(after(['c'])).toBe('Kept as this tip’s baseline (sweep 1 of 3; do it on three days).');
  expect(after(['a', 'b', 'c'])).toBe('Kept as this tip’s baseline, 3 sweeps by now.');
  expect(after(['a'])).toContain('made of other sweeps');
});

test('the key of the Rack is the book’s', () => {
  for (const simulated of [true, false])
    expect(rackKeyOf(' Grey  8 ', simulated)).toBe(keyOf(' Grey  8 ', simulated));
});
