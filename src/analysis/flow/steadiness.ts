import type { Step } from '../../signal/catches/find-steps.ts';
import { slowWaves } from './low-frequency-variance.ts';

/** How far a catch is from one steady flow. */
export interface Steadiness {
  /** Change of the flow from one half of the window to the other that its slowest bend stands for, relative. */
  readonly bend: number;
  /** Mean square of the two slowest waves over that of the next ten: about 1 for a straight line in the scale's own noise. */
  readonly bendRatio: number;
  /** How far the readings stray from the line, as seconds of flow. */
  readonly strays_s: number;
}

const BENDS = 2;
const OTHERS = 10;

/**
 * What: does the flow change through the window (foam over the rim, a pressure that falls, a thumb on the trigger)?
 * Formula: residuals of the line projected on the waves of `lowFrequencyVariance`; ratio = mean of the two slowest squares over the
 *   mean of the next ten (F of 2 and 10 for noise that is flat below 6/T Hz, by construction). The slowest wave is cos 2πu: a line
 *   that bends in the middle by a slope change δ has there the amplitude δ·T/π² (Fourier series of a triangle, arithmetic).
 * Null with too few readings.
 */
export function steadiness(
  time_s: Float64Array,
  residuals: Float64Array,
  massFlow_kg_per_s: number,
  steps: readonly Step[],
): Steadiness | null {
  const n = time_s.length;
  const borders = steps.map((step) => step.at_s).filter((t) => t > time_s[0]! && t < time_s[n - 1]!);
  const waves = slowWaves(time_s, residuals, BENDS + OTHERS, { borders_s: borders });
  if (waves === null) return null;
  const meanSquare = (values: readonly number[]): number =>
    values.reduce((sum, value) => sum + value * value, 0) / values.length;
  const length_s = time_s[n - 1]! - time_s[0]!;
  const amplitude_kg = Math.abs(waves[0] ?? 0) * Math.sqrt(2 / n);
  const rms_kg = Math.sqrt(meanSquare([...residuals]));
  return {
    bend: (amplitude_kg * Math.PI ** 2) / length_s / massFlow_kg_per_s,
    bendRatio: meanSquare(waves.slice(0, BENDS)) / meanSquare(waves.slice(BENDS)),
    strays_s: rms_kg / massFlow_kg_per_s,
  };
}

/** A bend of so much, so far beyond the noise; or readings that stray so far. */
const BEND = 0.03;
const BEND_RATIO = 20;
const STRAYS_s = 0.12;
const STRAYS_kg = 0.01;

/**
 * Whether the catch deserves the warning `flow-not-steady`. Limits tuned on simulated seeds below 1000: warned were 0 of 2,488 typical
 * fills, 0.3 % of rough, 1 % of worst, 85 % of those with foam over the rim (3-15 % of the flow lost from some moment on), 85 % of
 * jugs. A slow change of under 3 %, or a linear one of the jet's push, isn't seen.
 */
export function isUnsteady(seen: Steadiness, residual_kg: number): boolean {
  const bends = seen.bend > BEND && seen.bendRatio > BEND_RATIO;
  return bends || (seen.strays_s > STRAYS_s && residual_kg > STRAYS_kg);
}
