import { tQuantile } from '../../base/statistics/distributions.ts';
import { median } from '../../base/statistics/median.ts';

/** Chance that a week without a jump is called one, two-sided: once in a thousand weeks. */
const FALSE_JUMP = 0.001;
/** So many of its own standard deviations a tip may lie off the jump that all are said to share. */
const AGREES_WITHIN = 3.5;
/** With so many tips one may go its own way, for a tip may have a fault in the very week in which the rig moves. */
const TIPS_FOR_ONE_APART = 4;

export interface Change {
  /** Since the tip's last check, relative. */
  readonly value: number;
  readonly standardDeviation: number;
}

export interface SharedJump {
  readonly jump: number;
  readonly expandedUncertainty95: number;
  readonly tips: number;
}

/**
 * What: by how much all tips of a rig changed together since their last checks; that is the rig (dial, scale), not wear (measurement 7).
 * Method: mean of the changes that lie within 3.5 standard deviations of their median; a jump when all do (of four tips or more: all but
 *   one) and the mean is beyond chance (0.1 %, t with the degrees of freedom of the spread). Changes and not levels are looked at: tips
 *   that all wear steadily change little from one week to the next.
 * @param degreesOfFreedom of the standard deviations. @returns null when nothing is shared; needs two tips or more.
 */
export function sharedJump(changes: readonly Change[], degreesOfFreedom: number): SharedJump | null {
  if (changes.length < 2) return null;
  const middle = median(changes.map(({ value }) => value));
  const agreeing = changes.filter(
    ({ value, standardDeviation }) => Math.abs(value - middle) <= AGREES_WITHIN * standardDeviation,
  );
  const needed = changes.length >= TIPS_FOR_ONE_APART ? changes.length - 1 : changes.length;
  if (agreeing.length < needed) return null;
  const n = agreeing.length;
  const jump = agreeing.reduce((sum, { value }) => sum + value, 0) / n;
  const u = Math.hypot(...agreeing.map(({ standardDeviation }) => standardDeviation)) / n;
  if (!(Math.abs(jump) > tQuantile(1 - FALSE_JUMP / 2, degreesOfFreedom) * u)) return null;
  return { jump, expandedUncertainty95: tQuantile(0.975, degreesOfFreedom) * u, tips: n };
}
