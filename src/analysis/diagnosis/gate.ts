import { fCdf, tCdf, tQuantile } from '../../base/statistics/distributions.ts';
import type { NozzleCurve } from '../curve/nozzle-curve.ts';

/**
 * Gain in AICc from which a fault is named, for the design it was found for: 5 settings x 3 catches, doubts known (measurement 5.3).
 * Plain lowest-AICc without it would call 35-41 % of healthy tips faulty (simulated, there and here).
 */
export const USUAL_GATE = 7;
export const USUAL_CATCHES = 15;
/**
 * Degrees of freedom that the doubts of a curve's points rest on, for the gate and the fit test. Where the repeats raised the doubts of a
 * knob that is set anew, and by more than chance would in one sweep of twenty, it is they that tell the doubts. The curve itself asks for
 * one in a hundred before it says so; between the two a knob that repeats worse than stated would raise the false alarms over 1 %
 * (simulated, 2.5 psi stated as 1.5: 1.2 %; with this 0.9).
 */
export function doubtsRestOn(curve: NozzleCurve): number {
  const usual = curve.effectiveDegreesOfFreedom;
  const ofRepeats = curve.catches - curve.settings;
  if (curve.protocol !== 're-set' || ofRepeats < 1 || curve.repeats.factor <= 1) return usual;
  const isMore = fCdf(curve.repeats.factor ** 2, ofRepeats, Infinity) > 1 - REPEATS_SIGNIFICANCE;
  return isMore ? Math.min(usual, ofRepeats) : usual;
}

const REPEATS_SIGNIFICANCE = 0.05;

/** What k pays for being free, in place of a second parameter. */
export const SCALE_PAYS = 1;
/** Faults this near the best are named beside it. */
export const NEAR = 4;
/** Fewest settings: with four or fewer a bend and a scale are too much alike (not calibrated). */
export const LEAST_SETTINGS = 5;

/**
 * What a candidate pays beside its deviance: `sound` fits k, held to the reference; `scale` fits k too, but free, for which it pays 1;
 * `shape` fits k, held, and one number of its own.
 */
export type Kind = 'sound' | 'scale' | 'shape';

/**
 * What: Akaike's criterion corrected for small samples, deviance + 2p + 2p(p + 1)/(n − p − 1), and 1 more for the scale model.
 * Source: Hurvich and Tsai 1989 (recalled); the scale's 1 reproduces the study's quantiles of the gain without a fault (3.2-3.5, 6.2-6.5
 *   at 95 and 99 %; as a whole second parameter it would be 2.3-2.5 and 5.1-5.6).
 * n: the catches used, also where their means were fitted, but never under 15: the correction is for a noise that the same few points
 *   must tell, and here the doubts are told. With n = 5 it would cost a bent curve 6.7 and a scale 1, and five catches of a leak or a
 *   shifted dial would be called worn or restricted with no second word (simulated at 1 % and 1.5 psi: wrong 10 % instead of 2.7 %).
 */
export function aicc(deviance: number, kind: Kind, catches: number): number {
  const p = kind === 'shape' ? 2 : 1;
  const n = Math.max(USUAL_CATCHES, catches);
  return deviance + 2 * p + (2 * p * (p + 1)) / (n - p - 1) + (kind === 'scale' ? SCALE_PAYS : 0);
}

/**
 * The gate for doubts that were estimated with few degrees of freedom. A scale is named when the deviance falls by 8 (the gate and the 1
 * it pays): for known doubts that is once in 214 healthy sweeps. With estimated ones the fall follows t², not χ²: as rare, so higher.
 * Simulated (benchmark `findings`): 5 x 1, 5 x 2, 5 x 3 catches with 3 or 4 degrees of freedom each, healthy called faulty 0.4-0.7 %; up
 * to 1.2 % at 7.
 */
export function gateOf(degreesOfFreedom: number): number {
  if (degreesOfFreedom === Infinity) return USUAL_GATE;
  const rare = tCdf(Math.sqrt(USUAL_GATE + SCALE_PAYS), Infinity);
  return tQuantile(rare, Math.max(1, degreesOfFreedom)) ** 2 - SCALE_PAYS;
}
