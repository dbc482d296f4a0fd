import type { TrueFill } from './fills.ts';
import type { Scenario } from './scenario.ts';

/**
 * Cramer-Rao bound of a fill's flow: the smallest standard deviation, kg/s, that any unbiased slope of its steady window can
 * have when the intercept is free, the noise Gaussian with the scenario's true autocovariance (white, jet wander, slosh,
 * pulsation, all through the scale's moving average, plus step^2/12) and the times exact. Generalised least squares
 * (arithmetic); the covariance is a Toeplitz matrix, solved by Levinson's recursion (from memory). Jet drift and bumps are no
 * noise here: on scenarios that are not `-pure` the bound is too low. Readings lost are counted as if they were there.
 */
export function slopeBound_kg_per_s(scenario: Scenario, fill: TrueFill, interval_s: number): number {
  const from_s = fill.start_s + 1 + (scenario.averagedReadings - 1) * interval_s;
  const count = Math.floor((fill.stop_s - 0.3 - from_s) / interval_s) + 1;
  const covariance = autocovariance_kg2(scenario, fill, interval_s, count);
  const ones = new Float64Array(count).fill(1);
  const times = Float64Array.from({ length: count }, (_, i) => (i - (count - 1) / 2) * interval_s);
  const solvedOnes = solveToeplitz(covariance, ones);
  const solvedTimes = solveToeplitz(covariance, times);
  const information = dot(times, solvedTimes) - dot(times, solvedOnes) ** 2 / dot(ones, solvedOnes);
  return 1 / Math.sqrt(information);
}

/** Autocovariance of the shown readings at lags 0, 1, ... of the interval. */
export function autocovariance_kg2(
  scenario: Scenario,
  fill: TrueFill,
  interval_s: number,
  lags: number,
): Float64Array {
  const before = (lag: number): number => {
    const h_s = Math.abs(lag) * interval_s;
    const white = lag === 0 ? fill.whiteNoise_kg ** 2 : 0;
    const jet = fill.jetWander_kg ** 2 * Math.exp(-h_s / fill.jetMemory_s);
    const slosh =
      fill.slosh_kg ** 2 * Math.exp(-h_s / fill.sloshMemory_s) * Math.cos(2 * Math.PI * fill.slosh_Hz * h_s);
    const pulsation = (fill.pulsation_kg ** 2 / 2) * Math.cos(2 * Math.PI * fill.pulsation_Hz * h_s);
    return white + jet + slosh + pulsation;
  };
  const n = scenario.averagedReadings;
  return Float64Array.from({ length: lags }, (_, lag) => {
    let sum = lag === 0 ? scenario.step_kg ** 2 / 12 : 0;
    for (let i = 1 - n; i < n; i += 1) sum += ((n - Math.abs(i)) / (n * n)) * before(lag + i);
    return sum;
  });
}

/** Solves T x = right for the symmetric positive definite Toeplitz matrix T whose first column is given. */
export function solveToeplitz(column: Float64Array, right: Float64Array): Float64Array {
  const n = right.length;
  const at = (array: Float64Array, i: number): number => array[i] ?? 0;
  const first = at(column, 0);
  const x = new Float64Array(n);
  let backward = new Float64Array(n);
  let error = first;
  x[0] = at(right, 0) / first;
  for (let m = 1; m < n; m += 1) {
    // `backward` holds the m - 1 coefficients that predict a value from its neighbours.
    let reflection = at(column, m);
    for (let i = 1; i < m; i += 1) reflection -= at(backward, i - 1) * at(column, m - i);
    reflection /= error;
    const next = Float64Array.from(backward);
    for (let i = 1; i < m; i += 1) next[i - 1] = at(backward, i - 1) - reflection * at(backward, m - i - 1);
    next[m - 1] = reflection;
    backward = next;
    error *= 1 - reflection * reflection;
    let rest = at(right, m);
    for (let i = 0; i < m; i += 1) rest -= at(column, m - i) * at(x, i);
    const step = rest / error;
    for (let i = 0; i < m; i += 1) x[i] = at(x, i) - step * at(backward, m - i - 1);
    x[m] = step;
  }
  return x;
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i += 1) sum += (a[i] ?? 0) * (b[i] ?? 0);
  return sum;
}
