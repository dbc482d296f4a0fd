import { describe, expect, it } from 'vitest';
import { RunningFlow } from '../../../src/analysis/flow/running-flow.ts';
import type { RunningFlowOptions, RunningLook } from '../../../src/analysis/flow/running-flow.ts';
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

  it('never uses a smaller variance than the largest look of the last four seconds', () => {
    const { looks } = watch({ targetRelative: 1e-6 }, { seed: 5, noise_kg: 0.003 });
    const widths = looks.filter((l) => l.halfWidth_kg_per_s !== null && l.elapsed_s < 29);
    // A bar that falls by more than its window's growth within a quarter second would be a lucky look.
    for (let i = 1; i < widths.length; i++) {
      const [a, b] = [widths[i - 1]!, widths[i]!];
      if (b.halfWidth_kg_per_s! >= a.halfWidth_kg_per_s!) continue;
      const before = widths.filter((l) => l.elapsed_s >= b.elapsed_s - 4 && l.elapsed_s <= b.elapsed_s);
      const longest = Math.max(
        ...before.map((l) => l.halfWidth_kg_per_s! * ((l.elapsed_s - 1) / (b.elapsed_s - 1)) ** 1.5),
      );
      expect(b.halfWidth_kg_per_s! / longest).toBeGreaterThan(0.45);
    }
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
