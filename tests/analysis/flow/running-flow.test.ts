import { describe, expect, it } from 'vitest';
import { RunningFlow } from '../../../src/analysis/flow/running-flow.ts';
import type { RunningFlowOptions, RunningLook } from '../../../src/analysis/flow/running-flow.ts';
import { lowFrequencyVariance } from '../../../src/analysis/flow/low-frequency-variance.ts';
import { outlierMask } from '../../../src/analysis/flow/outlier-mask.ts';
import { tQuantile } from '../../../src/base/statistics/distributions.ts';
import { ordinaryLine } from '../../../src/base/statistics/ordinary-line.ts';
import { noisyCatch } from './noisy-catch.ts';

const FLOW = 0.025;
const usual: RunningFlowOptions = {
  start_s: 4,
  averagedReadings: 1,
  wand: 'guided',
  targetRelative: 0.005,
  minimum_s: 15,
  longest_s: 60,
  pooled: null,
  base_kg: 5,
};

/** Every look from the start edge on, until it says stop. */
function watch(
  options: Partial<RunningFlowOptions>,
  noise: {
    readonly seed: number;
    readonly noise_kg: number;
    readonly jet_kg?: number;
    readonly rate_Hz?: number;
  },
): { readonly looks: RunningLook[]; readonly last: RunningLook; readonly running: RunningFlow } {
  const { time_s, mass_kg } = noisyCatch({
    flow_kg_per_s: FLOW,
    start_s: 4,
    stop_s: 90,
    rate_Hz: 10,
    ...noise,
  });
  const running = new RunningFlow({ ...usual, ...options });
  const looks: RunningLook[] = [];
  for (let i = 0; i < time_s.length; i++) {
    if (time_s[i]! < 4) continue;
    running.push(time_s[i]!, mass_kg[i]!);
    looks.push(running.look(time_s[i]!));
    if (looks[looks.length - 1]!.enough) break;
  }
  return { looks, last: looks[looks.length - 1]!, running };
}

describe('the running flow', () => {
  it('says nothing of the flow before there are six seconds of steady window', () => {
    const { looks } = watch({}, { seed: 1, noise_kg: 0.001 });
    expect(
      looks.filter((l) => l.elapsed_s < 6.9).every((l) => l.flow_kg_per_s === null && l.secondsLeft === null),
    ).toBe(true);
    expect(looks.find((l) => l.elapsed_s > 7.5)?.flow_kg_per_s).toBeCloseTo(FLOW, 3);
  });

  it('has enough no sooner than the shortest catch, however quiet the readings', () => {
    expect(watch({}, { seed: 2, noise_kg: 1e-5 }).last).toMatchObject({
      because: 'enough',
      secondsLeft: 0,
      progress: 1,
    });
    expect(watch({}, { seed: 2, noise_kg: 1e-5 }).last.elapsed_s).toBeCloseTo(15, 0);
    expect(watch({ minimum_s: 30 }, { seed: 2, noise_kg: 1e-5 }).last.elapsed_s).toBeCloseTo(30, 0);
  });

  it('covers the truth at the moment it says enough in 93-99.5 % of 250 noisy fills (stopping on luck would cover less)', () => {
    let covered = 0;
    let later = 0;
    for (let seed = 0; seed < 250; seed++) {
      const { last } = watch({}, { seed: 300 + seed, noise_kg: 0.004 });
      if (Math.abs(last.flow_kg_per_s! - FLOW) <= last.halfWidth_kg_per_s!) covered++;
      if (last.elapsed_s > 16) later++;
    }
    expect(later).toBeGreaterThan(60);
    expect(covered).toBeGreaterThanOrEqual(232);
    expect(covered).toBeLessThanOrEqual(249);
  }, 60_000);

  it('uses at every look the largest S0 of the looks of the last four seconds, worked out here one by one', () => {
    const { time_s, mass_kg } = noisyCatch({
      seed: 5,
      flow_kg_per_s: FLOW,
      start_s: 4,
      stop_s: 90,
      rate_Hz: 10,
      noise_kg: 0.003,
    });
    const running = new RunningFlow({ ...usual, targetRelative: 1e-9, jet_kg: 0, longest_s: 29 });
    const seen: { at_s: number; variance: number; degreesOfFreedom: number }[] = [];
    let compared = 0;
    let notTheNewest = 0;
    for (let i = 40; i < 320; i++) {
      running.push(time_s[i]!, mass_kg[i]!);
      // A look every 0.3 s, so that none is answered from memory.
      if (i % 3 !== 0) continue;
      const look = running.look(time_s[i]!);
      if (look.flow_kg_per_s === null || look.enough) continue;
      const window = [time_s.slice(50, i + 1), mass_kg.slice(50, i + 1)] as const;
      const { keep } = outlierMask(...window);
      const [t, m] = window.map((column) => column.filter((_, k) => keep[k] === 1)) as [
        Float64Array,
        Float64Array,
      ];
      const line = ordinaryLine(t, m)!;
      const own = lowFrequencyVariance(t, line.residuals)!;
      seen.push({ at_s: time_s[i]!, ...own });
      const recent = seen.filter((s) => s.at_s >= time_s[i]! - 4);
      const largest = recent.reduce((x, y) => (y.variance > x.variance ? y : x));
      if (largest.at_s !== time_s[i]!) notTheNewest++;
      const expected = tQuantile(0.975, largest.degreesOfFreedom) * Math.sqrt(largest.variance / line.sxx);
      expect(look.halfWidth_kg_per_s! / expected).toBeCloseTo(1, 9);
      compared++;
    }
    expect(compared).toBeGreaterThan(50);
    expect(notTheNewest).toBeGreaterThan(10);
  });

  it('stops at 30 s when 15 s show that the target is out of reach, and has said which ± 30 s will give', () => {
    const { last, looks } = watch({ targetRelative: 0.0001 }, { seed: 6, noise_kg: 0.003 });
    expect(last.because).toBe('forecast-too-long');
    expect(last.elapsed_s).toBeCloseTo(30, 0);
    const told = looks.find((l) => l.forecastRelative !== null)!;
    expect(told.elapsed_s).toBeLessThan(15.5);
    expect(told.forecastRelative! / last.relativeHalfWidth!).toBeGreaterThan(0.2);
    expect(told.forecastRelative! / last.relativeHalfWidth!).toBeLessThan(5);
    expect(told.secondsLeft).toBeCloseTo(30 - told.elapsed_s, 1);
  });

  it('knows that the jet allowance of a hand-held wand does not fall after 30 s, so that waiting is hopeless', () => {
    // 0.15 · 0.06 kg / (√3 · 0.025 kg/s · 30 s) · 1.96 = 1.36 % (arithmetic): 1 % can't be had however long it sprays.
    const { last } = watch(
      { wand: 'hand-held', targetRelative: 0.01 },
      { seed: 7, noise_kg: 1e-4, jet_kg: 0.06 },
    );
    expect(last.because).toBe('forecast-too-long');
    expect(last.relativeHalfWidth).toBeCloseTo(0.0136, 3);
  });

  it('ends at the longest catch with the readings it has, and when it has none', () => {
    expect(watch({ longest_s: 20, targetRelative: 1e-5 }, { seed: 8, noise_kg: 0.01 }).last).toMatchObject({
      because: 'longest-catch',
    });
    const deaf = new RunningFlow(usual);
    expect(deaf.look(64.1)).toMatchObject({ enough: true, because: 'longest-catch', flow_kg_per_s: null });
  });

  it('uses the pooled noise of earlier catches from the second one on, unless this one is far noisier', () => {
    const first = watch({ minimum_s: 30 }, { seed: 9, noise_kg: 0.002 }).running.evidence()!;
    const pooled = { sumOfSquares: 4 * first.sumOfSquares, degreesOfFreedom: 4 * first.degreesOfFreedom };
    const alone = watch({ minimum_s: 20 }, { seed: 10, noise_kg: 0.002 }).last.halfWidth_kg_per_s!;
    const with_ = watch({ minimum_s: 20, pooled }, { seed: 10, noise_kg: 0.002 }).last.halfWidth_kg_per_s!;
    expect(with_).not.toBe(alone);
    const quietPool = { sumOfSquares: 1e-12, degreesOfFreedom: 20 };
    expect(
      watch({ minimum_s: 20, pooled: quietPool }, { seed: 10, noise_kg: 0.002 }).last.halfWidth_kg_per_s,
    ).toBe(alone);
  });

  it('gives the pool the same noise per reading from 80 readings a second as from 10', () => {
    const of = (rate_Hz: number): number => {
      let sum = 0;
      for (let seed = 0; seed < 40; seed++) {
        const { sumOfSquares, degreesOfFreedom } = watch(
          {},
          { seed: 500 + seed, noise_kg: 0.0005, rate_Hz },
        ).running.evidence()!;
        sum += sumOfSquares / degreesOfFreedom / 40;
      }
      return sum / 0.0005 ** 2;
    };
    expect(of(10)).toBeGreaterThan(0.6);
    expect(of(10)).toBeLessThan(1.5);
    expect(of(80)).toBeGreaterThan(0.6);
    expect(of(80)).toBeLessThan(1.5);
  }, 60_000);

  it('shows progress that never falls and stays once it has enough', () => {
    const { looks, running, last } = watch({}, { seed: 12, noise_kg: 0.004 });
    for (let i = 1; i < looks.length; i++)
      expect(looks[i]!.progress).toBeGreaterThanOrEqual(looks[i - 1]!.progress);
    expect(running.look(200)).toMatchObject({ enough: true, because: last.because, progress: 1 });
  });
});
