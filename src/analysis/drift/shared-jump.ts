import { tQuantile } from '../../base/statistics/distributions.ts';
import { median } from '../../base/statistics/median.ts';

/** Chance that a week without a jump is called one, two-sided: once in a thousand weeks. */
const FALSE_JUMP = 0.001;
/** So many of its own standard deviations a tip may lie off the jump that all are said to share. */
const AGREES_WITHIN = 3.5;
/** With so many tips one may go its own way, for a tip may have a fault in the very week in which the rig moves. */
const TIPS_FOR_ONE_APART = 4;
/** A median of many normal values scatters by √(π/2) of their mean; of few by less. */
export const MEDIAN_OVER_MEAN = Math.sqrt(Math.PI / 2);

export interface Change {
  /** Since the tip's last check, relative. */
  readonly value: number;
  readonly standardDeviation: number;
}

export interface SharedMove {
  readonly move: number;
  readonly standardUncertainty: number;
  readonly tips: number;
  /** Beyond chance. */
  readonly isProven: boolean;
}

export interface SharedJump {
  readonly jump: number;
  readonly expandedUncertainty95: number;
  readonly tips: number;
}

/**
 * What: by how much all tips of a rig changed together since their last checks.
 * Method: median of the changes that agree; shared when all do (of four or more: all but one), proven when beyond chance (0.1 %, t with the
 *   degrees of freedom of the spread). To agree is to lie within 3.5 standard deviations of the median of all, or within a third of it,
 *   for a tip that wears does so in that week too. Medians, because the wear of one tip must not be laid on the others. Changes and not
 *   levels are looked at: tips that all wear steadily change little from one week to the next.
 * @param degreesOfFreedom of the standard deviations.
 * @returns null when nothing is shared; needs two tips or more.
 */
export function sharedMove(changes: readonly Change[], degreesOfFreedom: number): SharedMove | null {
  if (changes.length < 2) return null;
  const middle = median(changes.map(({ value }) => value));
  const agreeing = changes.filter(
    ({ value, standardDeviation }) =>
      Math.abs(value - middle) <= Math.max(AGREES_WITHIN * standardDeviation, Math.abs(middle) / 3),
  );
  const n = agreeing.length;
  if (n < (changes.length >= TIPS_FOR_ONE_APART ? changes.length - 1 : changes.length)) return null;
  const move = median(agreeing.map(({ value }) => value));
  const ofMean = Math.hypot(...agreeing.map(({ standardDeviation }) => standardDeviation)) / n;
  const u = n === 2 ? ofMean : MEDIAN_OVER_MEAN * ofMean;
  return {
    move,
    standardUncertainty: u,
    tips: n,
    isProven: Math.abs(move) > beyondChance(degreesOfFreedom) * u,
  };
}

/** So many standard uncertainties are beyond chance. */
export function beyondChance(degreesOfFreedom: number): number {
  return tQuantile(1 - FALSE_JUMP / 2, degreesOfFreedom);
}

/** The proven ones as they are told: the rig's (dial, scale), not wear (measurement 7). Null: none. */
export function sharedJump(changes: readonly Change[], degreesOfFreedom: number): SharedJump | null {
  const found = sharedMove(changes, degreesOfFreedom);
  return found?.isProven === true ? asJump(found, degreesOfFreedom) : null;
}

export function asJump(found: SharedMove, degreesOfFreedom: number): SharedJump {
  const { move, standardUncertainty, tips } = found;
  return {
    jump: move,
    expandedUncertainty95: tQuantile(0.975, degreesOfFreedom) * standardUncertainty,
    tips,
  };
}
