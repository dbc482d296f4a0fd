/** Seconds of window that buy one degree of freedom, and the bounds of their number. */
export const SECONDS_PER_DEGREE_OF_FREEDOM = 6;
export const FEWEST_DEGREES_OF_FREEDOM = 3;
export const MOST_DEGREES_OF_FREEDOM = 6;

/** How noisy the readings are at the slow frequencies that bend a slope. */
export interface LowFrequencyVariance {
  /** S0, kg² per reading: the variance that white noise of the same harm would have. */
  readonly variance: number;
  /** ν: number of slow waves that were looked at. */
  readonly degreesOfFreedom: number;
  /** Σ P², so that catches can be pooled as Σ(ΣP²)/Σν. */
  readonly sumOfSquares: number;
}

/** ν = clamp(⌊window / 6 s⌋, 3, 6). */
export function lowFrequencyDegreesOfFreedom(window_s: number): number {
  return Math.min(
    MOST_DEGREES_OF_FREEDOM,
    Math.max(FEWEST_DEGREES_OF_FREEDOM, Math.floor(window_s / SECONDS_PER_DEGREE_OF_FREEDOM)),
  );
}

/**
 * What: the variance of the residuals of a line, seen only in its ν slowest waves.
 * Purpose: the scale's filter and the hand colour the noise; the textbook bar then covers 52 % instead of 95 %. The harm to a slope
 *   comes from the slow part of the noise alone, so that part alone is measured: u(slope) = √(S0 / Sxx) with t of ν.
 * Formula: u = (t − t₀)/(t₁ − t₀); QR of [1, u, cos 2πu, cos 3πu, …, cos (ν+1)πu]; P = last ν columns of Q times the residuals;
 *   S0 = ΣP²/ν. Divisor ν, since each P has one degree of freedom.
 * Source: measurement study, section 2.2 (4); idea of low-frequency inference: Müller and Watson (recalled, not looked up).
 * Conditions: exact for white Gaussian noise, right for any noise that is flat below (ν+1)/(2T) Hz; gaps do no harm.
 * `fitted.borders_s`: times at which the line was allowed to jump (`steppedLine`); a wave sees nothing of such a jump.
 * `fitted.degree`: of the curve whose residuals these are: 1 for a line; 2 and 3 for a bent one, whose own waves cos 2πu, cos 3πu are then
 *   left out. Returns null with fewer than ν + 2 + degree readings or no length in time.
 */
export function lowFrequencyVariance(
  time_s: ArrayLike<number>,
  residuals: ArrayLike<number>,
  degreesOfFreedom?: number,
  fitted: Fitted = {},
): LowFrequencyVariance | null {
  const n = time_s.length;
  const length_s = n > 0 ? time_s[n - 1]! - time_s[0]! : 0;
  const nu = degreesOfFreedom ?? lowFrequencyDegreesOfFreedom(length_s);
  const waves = slowWaves(time_s, residuals, nu, fitted);
  if (waves === null) return null;
  const sumOfSquares = waves.reduce((sum, wave) => sum + wave * wave, 0);
  return { variance: sumOfSquares / nu, degreesOfFreedom: nu, sumOfSquares };
}

/** What was fitted before the residuals were looked at: as `lowFrequencyVariance` explains. */
interface Fitted {
  readonly borders_s?: readonly number[];
  readonly degree?: number;
}

/** P: what the residuals hold of each of the `count` slowest waves, slowest first; null with under `count` + 2 + degree readings. */
export function slowWaves(
  time_s: ArrayLike<number>,
  residuals: ArrayLike<number>,
  count: number,
  { borders_s = [], degree = 1 }: Fitted = {},
): number[] | null {
  const n = time_s.length;
  const length_s = n > 0 ? time_s[n - 1]! - time_s[0]! : 0;
  if (n < count + 2 + degree || !(length_s > 0)) return null;

  const basis: Float64Array[] = [];
  const waves: number[] = [];
  for (let column = -borders_s.length; column <= count + degree; column++) {
    const wave = new Float64Array(n);
    const border_s = borders_s[-column - 1] ?? 0;
    for (let i = 0; i < n; i++) {
      const u = (time_s[i]! - time_s[0]!) / length_s;
      if (column < 0) wave[i] = time_s[i]! > border_s ? 1 : 0;
      else wave[i] = column <= degree ? power(u - 0.5, column) : Math.cos(column * Math.PI * u);
    }
    // Twice: once leaves a part of the earlier columns when readings are few or have a gap.
    for (const earlier of [...basis, ...basis]) removeProjection(wave, earlier);
    const size = Math.sqrt(dot(wave, wave));
    if (!(size > 1e-9 * Math.sqrt(n))) return null;
    for (let i = 0; i < n; i++) wave[i] = wave[i]! / size;
    basis.push(wave);
    if (column > degree) waves.push(dot(wave, residuals));
  }
  return waves;
}

/** By multiplying: 1 and the number itself come out exact. */
function power(x: number, exponent: number): number {
  let product = 1;
  for (let i = 0; i < exponent; i++) product *= x;
  return product;
}

function removeProjection(wave: Float64Array, unit: Float64Array): void {
  const share = dot(wave, unit);
  for (let i = 0; i < wave.length; i++) wave[i] = wave[i]! - share * unit[i]!;
}

function dot(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}
