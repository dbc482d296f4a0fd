import { describe, expect, it } from 'vitest';
import { simulateFills } from '../../src/simulation/fills.ts';
import { scenarioNamed } from '../../src/simulation/scenario.ts';
import { autocovariance_kg2, slopeBound_kg_per_s, solveToeplitz } from '../../src/simulation/slope-bound.ts';

describe('the bound of a fill’s flow', () => {
  it('is the textbook standard deviation of a slope when the noise is white', () => {
    const { truth, interval_s, scenario } = simulateFills({ scenario: 'clean', seed: 1, fills: 1 });
    const fill = truth[0];
    if (!fill) throw new Error('no fill');
    const n = Math.floor((fill.stop_s - fill.start_s - 1.3) / interval_s) + 1;
    const sxx = (interval_s ** 2 * n * (n * n - 1)) / 12;
    const sd = Math.sqrt((0.0003 ** 2 + 0.0001 ** 2 / 12) / sxx);
    expect(slopeBound_kg_per_s(scenario, fill, interval_s) / sd).toBeCloseTo(1, 9);
  });

  it('solves a Toeplitz system: the matrix times the answer is the right side', () => {
    const n = 30;
    const column = Float64Array.from(
      { length: n },
      (_, i) => Math.exp(-i / 4) * Math.cos(i) + (i === 0 ? 0.3 : 0),
    );
    const right = Float64Array.from({ length: n }, (_, i) => Math.sin(3 * i) + i);
    const x = solveToeplitz(column, right);
    right.forEach((value, row) => {
      const product = x.reduce((sum, xi, i) => sum + xi * (column[Math.abs(row - i)] ?? 0), 0);
      expect(product).toBeCloseTo(value, 9);
    });
  });

  it('rests on the autocovariance that the simulated readings really have', () => {
    // A long fill without drift; residuals of a line, lags 0-6 readings, averaged over many fills.
    const scenario = {
      ...scenarioNamed('rough-pure'),
      fill_s: [60, 60] as const,
      step_kg: 1e-6,
      dropChance: 0,
    };
    const lags = 7;
    const found = new Float64Array(lags);
    const expected = new Float64Array(lags);
    const { truth, interval_s, time_s, mass_kg } = simulateFills({ scenario, seed: 8, fills: 60 });
    for (const fill of truth) {
      const residuals = residualsOf(time_s, mass_kg, fill.start_s + 3, fill.stop_s - 0.3);
      const model = autocovariance_kg2(scenario, fill, interval_s, lags);
      for (let lag = 0; lag < lags; lag += 1) {
        let sum = 0;
        for (let i = lag; i < residuals.length; i += 1)
          sum += (residuals[i] ?? 0) * (residuals[i - lag] ?? 0);
        found[lag] = (found[lag] ?? 0) + sum / (residuals.length - lag);
        expected[lag] = (expected[lag] ?? 0) + (model[lag] ?? 0);
      }
    }
    // The line takes a little of the slow wander away, and 60 fills leave about 5 % of sampling error.
    for (let lag = 0; lag < lags; lag += 1)
      expect(Math.abs((found[lag] ?? 0) - (expected[lag] ?? 0)) / (expected[0] ?? 1)).toBeLessThan(0.15);
    expect(expected[6]).toBeLessThan(0.8 * (expected[0] ?? 0));
  });
});

function residualsOf(time_s: Float64Array, mass_kg: Float64Array, from_s: number, to_s: number): number[] {
  const points: [number, number][] = [];
  time_s.forEach((t, i) => {
    // The flow's sag of half a percent a minute would bend the line: taken off with the square.
    if (t > from_s && t < to_s) points.push([t - (from_s + to_s) / 2, mass_kg[i] ?? NaN]);
  });
  const half = (to_s - from_s) / 2;
  const basis = [
    (): number => 1,
    (t: number): number => t / half,
    (t: number): number => 1.5 * (t / half) ** 2 - 0.5,
  ];
  const y = points.map(([, m]) => m);
  for (const f of basis) {
    const values = points.map(([t]) => f(t));
    const c =
      values.reduce((sum, v, i) => sum + v * (y[i] ?? 0), 0) / values.reduce((sum, v) => sum + v * v, 0);
    values.forEach((v, i) => (y[i] = (y[i] ?? 0) - c * v));
  }
  return y;
}
