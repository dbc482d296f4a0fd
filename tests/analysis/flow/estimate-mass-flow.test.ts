import { describe, expect, it } from 'vitest';
import { estimateMassFlow, LOOK_BACK_BELOW_s } from '../../../src/analysis/flow/estimate-mass-flow.ts';
import type { MassFlowEstimate } from '../../../src/analysis/flow/estimate-mass-flow.ts';
import { tQuantile } from '../../../src/base/statistics/distributions.ts';
import { noisyCatch } from './noisy-catch.ts';

const FLOW = 0.025;

function estimate(
  options: Partial<Parameters<typeof noisyCatch>[0]> & { readonly seed: number },
): MassFlowEstimate {
  const shape = { flow_kg_per_s: FLOW, start_s: 4, stop_s: 34, rate_Hz: 10, noise_kg: 0.001, ...options };
  const { time_s, mass_kg } = noisyCatch(shape);
  const found = estimateMassFlow(time_s, mass_kg, time_s.length, shape.start_s, shape.stop_s, {
    averagedReadings: 1,
  });
  if (!found.ok) throw new Error(found.because);
  return found.value;
}

function coverage(fills: number, options: Partial<Parameters<typeof noisyCatch>[0]>): number {
  let covered = 0;
  for (let seed = 0; seed < fills; seed++) {
    const e = estimate({ seed: 7000 + seed, ...options });
    const half = tQuantile(0.975, e.degreesOfFreedom) * e.standardUncertainty_kg_per_s;
    if (Math.abs(e.massFlow_kg_per_s - FLOW) <= half) covered++;
  }
  return (100 * covered) / fills;
}

describe('the mass flow of one catch', () => {
  it('is the slope exactly when there is no noise', () => {
    expect(estimate({ seed: 1, noise_kg: 0, jet_kg: 0.02 }).massFlow_kg_per_s).toBeCloseTo(FLOW, 12);
  });

  it('carries the line back to the start edge: level before and the jet on top', () => {
    expect(estimate({ seed: 1, noise_kg: 0, jet_kg: 0.02 }).lineAtStart_kg).toBeCloseTo(5.02, 9);
  });

  it('has a 95 % interval that covers 93-97 % with white noise (600 seeded fills of 30 s)', () => {
    const percent = coverage(600, {});
    expect(percent).toBeGreaterThanOrEqual(93);
    expect(percent).toBeLessThanOrEqual(97);
  });

  it('still covers 92-98 % when the noise remembers 0.7 s, where the textbook bar covers about half', () => {
    const percent = coverage(400, { memory: Math.exp(-0.1 / 0.7) });
    expect(percent).toBeGreaterThanOrEqual(92);
    expect(percent).toBeLessThanOrEqual(98);
  });

  it('keeps the largest variance of the last looks in a catch under 30 s, the whole window’s in a longer one', () => {
    let larger = 0;
    for (let seed = 0; seed < 40; seed++) {
      const short = estimate({ seed, stop_s: 20 });
      expect(short.variance).toBeGreaterThanOrEqual(short.wholeWindow.variance);
      if (short.variance > short.wholeWindow.variance) larger++;
      const long = estimate({ seed, stop_s: 4 + LOOK_BACK_BELOW_s });
      expect(long.variance).toBe(long.wholeWindow.variance);
    }
    expect(larger).toBeGreaterThan(10);
  });

  it('does not move when somebody knocks the pail in the middle', () => {
    const { time_s, mass_kg } = noisyCatch({
      seed: 5,
      flow_kg_per_s: FLOW,
      start_s: 4,
      stop_s: 34,
      rate_Hz: 10,
      noise_kg: 0.001,
    });
    const knocked = mass_kg.map((m, i) => (time_s[i]! > 25 && time_s[i]! < 25.5 ? m + 0.2 : m));
    const ask = (mass: Float64Array) =>
      estimateMassFlow(time_s, mass, time_s.length, 4, 34, { averagedReadings: 1 });
    const [calm, hit] = [ask(mass_kg), ask(knocked)];
    if (!calm.ok || !hit.ok) throw new Error('refused');
    expect(hit.value.masked).toBeGreaterThan(0);
    expect(Math.abs(hit.value.massFlow_kg_per_s / calm.value.massFlow_kg_per_s - 1)).toBeLessThan(2e-4);
  });

  it('is biased under 0.02 % behind an average of eight readings nobody told of, in a 12 s fill (rule 11.15)', () => {
    const n = 300;
    const time_s = Float64Array.from({ length: n }, (_, i) => i / 10);
    const water = time_s.map((t) => 0.02 * Math.min(Math.max(t - 5, 0), 12) + (t >= 5 && t < 17 ? 0.02 : 0));
    const shown = water.map(
      (_, i) => water.slice(Math.max(0, i - 7), i + 1).reduce((a, b) => a + b) / Math.min(8, i + 1),
    );
    // The edges as the scale shows them: late by its own average (0.35 s for a level, less for the corner at the end).
    const unknown = estimateMassFlow(time_s, shown, n, 5.35, 17.25, { averagedReadings: null });
    expect(unknown.ok && Math.abs(unknown.value.massFlow_kg_per_s / 0.02 - 1)).toBeLessThan(2e-4);
    const early = estimateMassFlow(time_s, shown, n, 5, 17.25, { averagedReadings: null });
    expect(early.ok && Math.abs(early.value.massFlow_kg_per_s / 0.02 - 1)).toBeLessThan(2e-4);
  });

  it('is refused for a catch with no steady window', () => {
    const { time_s, mass_kg } = noisyCatch({
      seed: 1,
      flow_kg_per_s: FLOW,
      start_s: 4,
      stop_s: 9,
      rate_Hz: 10,
      noise_kg: 0.001,
    });
    expect(estimateMassFlow(time_s, mass_kg, time_s.length, 4, 9, { averagedReadings: 1 })).toMatchObject({
      ok: false,
      because: 'no-steady-window',
    });
  });
});
