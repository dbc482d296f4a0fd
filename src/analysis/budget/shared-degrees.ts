import { combineUncertainty } from '../../base/statistics/welch-satterthwaite.ts';
import { MOST_DEGREES_OF_FREEDOM } from '../flow/catch-uncertainty.ts';
import type { SharedPart } from './budget.ts';

/** 10⁶ stands for "known": it must not count as an estimate from a million readings. */
export function endless(degreesOfFreedom: number): number {
  return degreesOfFreedom >= MOST_DEGREES_OF_FREEDOM ? Infinity : degreesOfFreedom;
}

/** Degrees of freedom of all shared parts together; Infinity where all are known. */
export function sharedDegreesOfFreedom(parts: readonly SharedPart[]): number {
  return combineUncertainty(
    parts.map(({ relative, degreesOfFreedom }) => ({
      standardUncertainty: Math.abs(relative),
      degreesOfFreedom: endless(degreesOfFreedom),
    })),
  ).degreesOfFreedom;
}
