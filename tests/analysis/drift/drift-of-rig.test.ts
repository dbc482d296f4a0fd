import { describe, expect, test } from 'vitest';
import { driftOfRig } from '../../../src/analysis/drift/drift-of-rig.ts';
import type { TipHistory } from '../../../src/analysis/drift/drift-of-rig.ts';
import type { DriftChart } from '../../../src/analysis/drift/drift.ts';
import { Random } from '../../../src/simulation/random.ts';
import { firstSignal, madeRig, madeSweep, WEEK_ms } from '../../benchmarks/drift-parts/made-seasons.ts';
import { shared } from './shared-part.ts';

function chartOf(tips: readonly TipHistory[], key = 'tip 0'): DriftChart {
  return driftOfRig(tips).get(key)!;
}

const random = (name: string) => new Random(11).stream(name);
const season = (options: Partial<Parameters<typeof madeRig>[0]> & { random: Random }) =>
  madeRig({ tips: 3, weeks: 20, standardDeviation: 0.005, ...options });

test('a sound rig: no signal, limits, s near the truth, the delay for that s', () => {
  const chart = chartOf(season({ random: random('sound') }));
  expect(chart.points).toHaveLength(20);
  expect(firstSignal(chart, 0)).toBe(Infinity);
  expect(chart.limitsBecause).toBeNull();
  expect(chart.weeklyStandardDeviation).toBeGreaterThan(0.004);
  expect(chart.weeklyStandardDeviation).toBeLessThan(0.006);
  // Three baselines of three and three lines through twenty: 3·2 + 3·18.
  expect(chart.degreesOfFreedom).toBe(60);
  expect(chart.delay_weeks!.ninetyPercent).toBeGreaterThanOrEqual(5);
  expect(chart.forecastBecause).toBe('flow-not-rising');
  expect(chart.rigJumps).toEqual([]);
});

test('a worn tip signals, the others do not; the forecast’s interval holds the true week', () => {
  const tips = season({
    random: random('worn'),
    wear: (tip, week) => (tip === 1 ? 0.005 * Math.max(0, week - 6) : 0),
  });
  const worn = chartOf(tips, 'tip 1');
  expect(firstSignal(worn, 6)).toBeLessThanOrEqual(7);
  expect(firstSignal(chartOf(tips), 0)).toBe(Infinity);
  // +10 % in week 26.
  expect(worn.forecast!.earliest).toBeLessThan(26);
  expect(worn.forecast!.latest!).toBeGreaterThan(26);
  expect(worn.forecast!.perWeek).toBeCloseTo(0.005, 2);
});

test('a slipped dial is the rig’s: named with its end, taken off at one size while it lasts, no tip signals', () => {
  const tips = season({ random: random('slip'), rig: (week) => (week >= 10 && week < 14 ? -0.05 : 0) });
  const charts = [...driftOfRig(tips).values()];
  for (const chart of charts) {
    expect(chart.warnings).toContain('rig-jumped');
    expect(chart.rigJumps.map(({ at_ms }) => Math.round(at_ms / WEEK_ms))).toEqual([10, 14]);
    expect(
      chart.points.slice(9, 13).every(({ sharedJump }) => sharedJump === chart.points[9]!.sharedJump),
    ).toBe(true);
    expect(chart.points[13]!.sharedJump).toBe(0);
    expect(firstSignal(chart, 0)).toBe(Infinity);
    expect(chart.points[9]!.sharedJump).toBeLessThan(-0.04);
    expect(chart.points[9]!.deviation).toBeLessThan(-0.03);
    expect(chart.points[8]!.sharedJump).toBe(0);
  }
});

test('two tips that move apart are no jump of the rig, and one tip alone never is', () => {
  const clogged = season({
    random: random('clog'),
    tips: 2,
    wear: (tip, week) => (tip === 0 && week > 8 ? -0.1 : 0),
  });
  expect(chartOf(clogged, 'tip 1').rigJumps).toEqual([]);
  expect(chartOf(clogged).points[8]!.signals).toBe(true);
  const alone = chartOf(season({ random: random('alone'), tips: 1, rig: (week) => (week > 8 ? -0.05 : 0) }));
  expect(alone.rigJumps).toEqual([]);
  expect(alone.points[10]!.sharedJump).toBeNull();
});

describe('bad input', () => {
  test('a check 40 % off asks whether this is the tip and does not count until answered', () => {
    const [tip, ...others] = season({ random: random('wrong') });
    const odd = madeSweep('odd', 21 * WEEK_ms, -0.4);
    const with_ = (isThisTip: boolean | null) =>
      chartOf([{ ...tip!, checks: [...tip!.checks, { ...odd, isThisTip }] }, ...others]);
    const asked = with_(null);
    expect(asked.points.at(-1)).toMatchObject({ leftOutBecause: 'is-this-the-tip', signals: false });
    expect(asked.points.at(-1)!.average).toBe(asked.points.at(-2)!.average);
    expect(asked.warnings).toContain('is-this-the-tip');
    const yes = with_(true);
    expect(yes.points.at(-1)).toMatchObject({ leftOutBecause: null, signals: true });
    const no = with_(false);
    expect(no.points.at(-1)).toMatchObject({ leftOutBecause: 'is-this-the-tip', signals: false });
    expect(no.warnings).not.toContain('is-this-the-tip');
  });

  test('one wrong tip among several in a week neither hides nor makes a jump of the rig', () => {
    const tips = season({
      random: random('wrong one'),
      tips: 4,
      wear: (tip, week) => (tip === 2 && week === 15 ? -0.4 : 0),
    });
    const wrong = chartOf(tips, 'tip 2');
    expect(wrong.points[14]!.leftOutBecause).toBe('is-this-the-tip');
    expect(wrong.rigJumps).toEqual([]);
    expect(firstSignal(wrong, 0)).toBe(Infinity);
  });

  test('a baseline of one or two: points without limits, and why', () => {
    const of = (baseline: number) => chartOf(season({ random: random('short'), baseline }));
    expect(of(1)).toMatchObject({ limitsBecause: 'baseline-of-one', delay_weeks: null });
    expect(of(2).limitsBecause).toBe('baseline-of-two');
    expect(of(1).points).toHaveLength(20);
    expect(of(1).points.every(({ limit, signals }) => limit === null && !signals)).toBe(true);
  });

  test('too few degrees of freedom: points without limits, and a forecast is refused', () => {
    const chart = chartOf(season({ random: random('young'), tips: 1, weeks: 4 }));
    expect(chart.degreesOfFreedom).toBe(4);
    expect(chart).toMatchObject({
      limitsBecause: 'spread-not-known-yet',
      width: null,
      forecast: null,
      forecastBecause: 'forecast-needs-more',
    });
  });

  test('another instrument: counts with both doubts when both were checked, else does not count', () => {
    const [tip, ...others] = season({ random: random('scale') });
    const checks = (instrumentChecked: boolean) =>
      tip!.checks.map((check, i) =>
        i < 10
          ? check
          : { ...check, instrument: 'another', instrumentChecked, shared: [shared('scale-factor', 0.01)] },
      );
    const checked = chartOf([{ ...tip!, checks: checks(true) }, ...others]);
    const same = chartOf([tip!, ...others]);
    expect(checked.points[15]!.leftOutBecause).toBeNull();
    expect(checked.points[15]!.limit!).toBeGreaterThan(1.5 * same.points[15]!.limit!);
    expect(checked.points[15]!.expandedUncertainty95).toBeGreaterThan(same.points[15]!.expandedUncertainty95);
    expect(checked.warnings).toContain('check-other-instrument');
    const unchecked = chartOf([{ ...tip!, checks: checks(false) }, ...others]);
    expect(unchecked.points[15]!.leftOutBecause).toBe('check-other-instrument');
  });

  test('a check beyond the baseline’s pressures is kept out and said', () => {
    const [tip] = season({ random: random('beyond'), tips: 1 });
    const beyond = { ...tip!.checks[0]!, settings: [{ ...tip!.checks[0]!.settings[0]!, setting_Pa: 5e5 }] };
    const chart = chartOf([{ ...tip!, checks: [beyond] }]);
    expect(chart.points).toEqual([]);
    expect(chart.warnings).toContain('check-outside-baseline');
  });
});

test('a point once drawn stays as it was when later checks come', () => {
  const tips = season({ random: random('stays'), wear: (tip, week) => (tip === 0 ? 0.004 * week : 0) });
  const whole = chartOf(tips);
  const until = (weeks: number) =>
    chartOf(tips.map((tip) => ({ ...tip, checks: tip.checks.slice(0, weeks) })));
  for (const weeks of [5, 11, 17]) expect(until(weeks).points).toEqual(whole.points.slice(0, weeks));
});

test('order of the checks, and the tips’ flows, change nothing', () => {
  const tips = season({ random: random('order') });
  const turned = tips
    .map((tip) => ({
      ...tip,
      checks: [...tip.checks].reverse(),
      baseline: [...tip.baseline].reverse(),
    }))
    .reverse();
  expect(chartOf(turned).points.map(({ average }) => average.toPrecision(9))).toEqual(
    chartOf(tips).points.map(({ average }) => average.toPrecision(9)),
  );
});
