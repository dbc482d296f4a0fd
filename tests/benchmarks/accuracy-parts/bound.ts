import type { Scenario } from '../../../src/simulation/scenario.ts';
import type { TrueFill } from '../../../src/simulation/fills.ts';

/**
 * Cramér-Rao bound of a slope with free intercept, Gaussian noise of the scenario's true autocovariance (white, AR(1) wander of the
 * jet, slosh, pump strokes; all through the scale's moving average) plus step²/12 of rounding, regular exact times, the true steady
 * window. Standard deviation, kg/s. Method: measurement study, section 2.
 */
export function slopeBound_kg_per_s(fill: TrueFill, scenario: Scenario, interval_s: number): number {
  const from_s = fill.start_s + 1 + (scenario.averagedReadings - 1) * interval_s;
  const n = Math.floor((fill.stop_s - 0.3 - from_s) / interval_s) + 1;
  const covariance = Float64Array.from({ length: n }, (_, lag) =>
    averagedCovariance(fill, scenario, interval_s, lag),
  );
  covariance[0]! += scenario.step_kg ** 2 / 12;
  const ones = new Float64Array(n).fill(1);
  const times = Float64Array.from({ length: n }, (_, i) => (i - (n - 1) / 2) * interval_s);
  const [whiteOnes, whiteTimes] = [solveToeplitz(covariance, ones), solveToeplitz(covariance, times)];
  const information = dot(times, whiteTimes) - dot(ones, whiteTimes) ** 2 / dot(ones, whiteOnes);
  return 1 / Math.sqrt(information);
}

function averagedCovariance(fill: TrueFill, scenario: Scenario, interval_s: number, lag: number): number {
  const n = scenario.averagedReadings;
  let sum = 0;
  for (let j = 1 - n; j < n; j++) {
    sum += ((n - Math.abs(j)) / (n * n)) * rawCovariance(fill, Math.abs(lag + j), interval_s);
  }
  return sum;
}

function rawCovariance(fill: TrueFill, readings: number, interval_s: number): number {
  const h = readings * interval_s;
  return (
    (readings === 0 ? fill.whiteNoise_kg ** 2 : 0) +
    fill.jetWander_kg ** 2 * Math.exp(-h / fill.jetMemory_s) +
    fill.slosh_kg ** 2 * Math.exp(-h / fill.sloshMemory_s) * Math.cos(2 * Math.PI * fill.slosh_Hz * h) +
    (fill.pulsation_kg ** 2 / 2) * Math.cos(2 * Math.PI * fill.pulsation_Hz * h)
  );
}

/** Levinson's recursion for a symmetric Toeplitz system given by its first row. */
export function solveToeplitz(row: Float64Array, right: Float64Array): Float64Array {
  const n = row.length;
  const x = new Float64Array(n);
  let forward = Float64Array.from([1 / row[0]!]);
  x[0] = right[0]! / row[0]!;
  for (let m = 1; m < n; m++) {
    let error = 0;
    for (let i = 0; i < m; i++) error += row[m - i]! * forward[i]!;
    const scale = 1 / (1 - error * error);
    const next = new Float64Array(m + 1);
    for (let i = 0; i <= m; i++) {
      next[i] = scale * ((i < m ? forward[i]! : 0) - error * (i > 0 ? forward[m - i]! : 0));
    }
    forward = next;
    let miss = right[m]!;
    for (let i = 0; i < m; i++) miss -= row[m - i]! * x[i]!;
    for (let i = 0; i <= m; i++) x[i]! += miss * forward[m - i]!;
  }
  return x;
}

function dot(a: Float64Array, b: Float64Array): number {
  return a.reduce((sum, value, i) => sum + value * b[i]!, 0);
}
