import { ok, refused } from '../../base/outcome.ts';
import type { Outcome } from '../../base/outcome.ts';
import { expandUncertainty } from './catch-uncertainty.ts';

/**
 * Standard deviation of a start-stop interval timed by thumb, mean error 0 because both presses are late alike.
 * Source: Am. J. Phys. 87(2):110 (2019), abstract: one press 0.07 s (4304 timings), times √2.
 */
export const THUMB_INTERVAL_U_s = 0.1;
/** How right the printed marks of a pail are: ±2 %, rectangular. Assumed (no source); the same for all catches with that pail. */
export const PAIL_MARKS_HALF_RANGE = 0.02;
/** A level between two marks is read to a quarter of their distance, rectangular. Assumed (no source); wait for foam to settle. */
export const MARK_READING_SHARE = 0.25;

export interface HandTiming {
  readonly duration_s: number;
  readonly volume_m3: number;
  /** Distance between the pail's marks, as volume. */
  readonly markSpacing_m3: number;
}

export interface HandFlow {
  readonly flow_m3_per_s: number;
  /** Thumb and reading of the level: this catch alone. All of it is Type B: one catch shows no scatter. */
  readonly ownTypeB_m3_per_s: number;
  /** The pail's own marks: the same for every catch with this pail. */
  readonly sharedTypeB_m3_per_s: number;
  readonly standardUncertainty_m3_per_s: number;
  readonly degreesOfFreedom: number;
  readonly expandedUncertainty95_m3_per_s: number;
}

/**
 * What: flow of one catch timed by thumb into a pail with marks, with what is honestly known of its doubt.
 * Formula: Q = V/t; u(t) = 0.10 s, u(V) own = spacing/4/√3, shared = 2 %·V/√3. Sources: the constants above.
 * The volume is read as volume: no density, no buoyancy. Water still in the hose or dripping after the thumb is not in it.
 * Refused `time-not-positive`, `volume-not-positive` (also for a mark spacing that is not positive).
 * @example flowByHand({ duration_s: 20, volume_m3: 1e-3, markSpacing_m3: 1e-4 }) // flow 5e-5, own u 1.5 %, whole u 1.9 %
 */
export function flowByHand(timing: HandTiming): Outcome<HandFlow> {
  const { duration_s, volume_m3, markSpacing_m3 } = timing;
  if (!(duration_s > 0 && duration_s < Infinity)) return refused('time-not-positive', { duration_s });
  if (!(volume_m3 > 0 && volume_m3 < Infinity)) return refused('volume-not-positive', { volume_m3 });
  if (!(markSpacing_m3 > 0 && markSpacing_m3 < Infinity)) {
    return refused('volume-not-positive', { markSpacing_m3 });
  }
  const flow = volume_m3 / duration_s;
  const timingShare = THUMB_INTERVAL_U_s / duration_s;
  const readingShare = (MARK_READING_SHARE * markSpacing_m3) / Math.sqrt(3) / volume_m3;
  const own = flow * Math.hypot(timingShare, readingShare);
  const shared = (flow * PAIL_MARKS_HALF_RANGE) / Math.sqrt(3);
  const whole = expandUncertainty(
    [own, shared].map((standardUncertainty) => ({ standardUncertainty, degreesOfFreedom: Infinity })),
  );
  return ok({
    flow_m3_per_s: flow,
    ownTypeB_m3_per_s: own,
    sharedTypeB_m3_per_s: shared,
    standardUncertainty_m3_per_s: whole.standardUncertainty,
    degreesOfFreedom: whole.degreesOfFreedom,
    expandedUncertainty95_m3_per_s: whole.expandedUncertainty95,
  });
}
