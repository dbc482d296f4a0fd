import { ordinaryLine } from '../../base/statistics/ordinary-line.ts';
import { pooledDeviation } from '../../base/statistics/pooled-deviation.ts';

/** Sum of squares about what was fitted, and what is left to tell the scatter. */
export interface Scatter {
  readonly sumOfSquares: number;
  readonly degreesOfFreedom: number;
}

const none: Scatter = { sumOfSquares: 0, degreesOfFreedom: 0 };

/** Checks of one tip about their own straight line, so that a steady wear is no scatter: n − 2 degrees of freedom. */
export function scatterAboutLine(weeks: readonly number[], deviations: readonly number[]): Scatter {
  const line = weeks.length < 3 ? null : ordinaryLine(weeks, deviations);
  return line === null
    ? none
    : { sumOfSquares: line.residualSumOfSquares, degreesOfFreedom: line.degreesOfFreedom };
}

/** The sweeps of one tip's baseline about their mean: n − 1 degrees of freedom. */
export function scatterAboutMean(deviations: readonly number[]): Scatter {
  return pooledDeviation([deviations]) ?? none;
}

export interface WeeklySpread {
  readonly standardDeviation: number;
  readonly degreesOfFreedom: number;
}

/**
 * What: the standard deviation of one check, from all tips and weeks of a rig (measurement 11.7).
 * Formula: √(Σ squares / Σ degrees of freedom). What goes in: each tip's baseline about its mean, its checks about their line, and
 *   about another after each jump of the rig; nothing after a tip has signalled. Null without any degree of freedom.
 * Conditions: one true deviation for all tips: checks of about as many catches each.
 */
export function pooledSpread(scatters: readonly Scatter[]): WeeklySpread | null {
  let sumOfSquares = 0;
  let degreesOfFreedom = 0;
  for (const scatter of scatters) {
    sumOfSquares += scatter.sumOfSquares;
    degreesOfFreedom += scatter.degreesOfFreedom;
  }
  if (degreesOfFreedom === 0) return null;
  return { standardDeviation: Math.sqrt(sumOfSquares / degreesOfFreedom), degreesOfFreedom };
}
