import { ordinaryLine } from '../../base/statistics/ordinary-line.ts';
import { steppedBy_kg, type Step } from '../../signal/catches/find-steps.ts';
import { lowFrequencyVariance } from './low-frequency-variance.ts';
import type { LowFrequencyVariance } from './low-frequency-variance.ts';

/** So much around a step is left out: the hand's own movement and the scale's filter, s. */
export const STEP_CLEAR_s = 0.7;

export interface FittedLine {
  readonly slope: number;
  /** Σ of squares about the mean, of each piece by itself where there are steps, s². */
  readonly sxx: number;
  readonly residuals: Float64Array;
  readonly residualSumOfSquares: number;
  /** Centre of the first piece. */
  readonly meanX: number;
  readonly meanY: number;
  readonly lowFrequency: LowFrequencyVariance;
}

interface Columns {
  readonly time_s: Float64Array;
  readonly mass_kg: Float64Array;
}

/** The readings with the steps taken off and what lies around each left out: what a mask for knocks can be made from. */
export function withoutSteps({ time_s, mass_kg }: Columns, steps: readonly Step[]): Columns {
  const clear = (t: number): boolean => steps.every((step) => Math.abs(t - step.at_s) > STEP_CLEAR_s);
  const wanted = (_value: number, i: number): boolean => clear(time_s[i]!);
  return {
    time_s: time_s.filter(wanted),
    mass_kg: mass_kg.map((kg, i) => kg - steppedBy_kg(steps, time_s[i]!)).filter(wanted),
  };
}

/**
 * What: one slope through pieces of a line that stand at different levels, least squares with an intercept for each piece; without
 *   steps plain least squares. With it the low-frequency variance of its residuals, the same intercepts projected out.
 * Purpose: a wand that comes to rest on the rim in the middle of a catch shifts the line by 20-400 g; 20 g there bend the slope of a
 *   catch of 0.6 kg by 5 %. The price of a step in the middle is twice the standard uncertainty.
 * Formula: slope = ΣΣ(t−t̄ₚ)(m−m̄ₚ)/ΣΣ(t−t̄ₚ)² over pieces p (arithmetic: within-group regression). Null where no line is left.
 */
export function steppedLine(
  time_s: Float64Array,
  mass_kg: Float64Array,
  steps: readonly Step[],
): FittedLine | null {
  const inside = steps.filter((step) => step.at_s > time_s[0]! && step.at_s < time_s[time_s.length - 1]!);
  if (inside.length === 0) {
    const line = ordinaryLine(time_s, mass_kg);
    const lowFrequency = line === null ? null : lowFrequencyVariance(time_s, line.residuals);
    return line === null || lowFrequency === null ? null : { ...line, lowFrequency };
  }
  const borders = inside.map((step) => step.at_s);
  const piece = Array.from(time_s, (t) => borders.filter((border) => border < t).length);
  const centres = [...borders, Infinity].map((_, p) => {
    const mine = (_value: number, i: number): boolean => piece[i] === p;
    return { x: mean(time_s.filter(mine)), y: mean(mass_kg.filter(mine)) };
  });
  let sxx = 0;
  let sxy = 0;
  time_s.forEach((t, i) => {
    const { x, y } = centres[piece[i]!]!;
    sxx += (t - x) ** 2;
    sxy += (t - x) * (mass_kg[i]! - y);
  });
  if (!(sxx > 0)) return null;
  const slope = sxy / sxx;
  const residuals = mass_kg.map((kg, i) => {
    const { x, y } = centres[piece[i]!]!;
    return kg - y - slope * (time_s[i]! - x);
  });
  const lowFrequency = lowFrequencyVariance(time_s, residuals, undefined, { borders_s: borders });
  const first = centres.find(({ x }) => Number.isFinite(x));
  if (lowFrequency === null || first === undefined) return null;
  return {
    slope,
    sxx,
    residuals,
    residualSumOfSquares: residuals.reduce((sum, e) => sum + e * e, 0),
    meanX: first.x,
    meanY: first.y,
    lowFrequency,
  };
}

function mean(values: Float64Array): number {
  return values.length === 0 ? NaN : values.reduce((sum, value) => sum + value, 0) / values.length;
}
