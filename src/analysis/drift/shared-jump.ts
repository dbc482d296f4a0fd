import { tQuantile } from '../../base/statistics/distributions.ts';
import { median } from '../../base/statistics/median.ts';

/** Chance that a week without a jump is called one, two-sided: once in a thousand weeks. */
const FALSE_JUMP = 0.001;
/** So many of its own standard deviations a tip may lie off the jump that all are said to share. */
const AGREES_WITHIN = 3.5;
/** With so many tips one may go its own way, for a tip may have a fault in the very week in which the rig moves. */
const TIPS_FOR_ONE_APART = 4;
/** A median of many normal values scatters by √(π/2) of their mean; of few by less. */
const MEDIAN_OVER_MEAN = Math.sqrt(Math.PI / 2);

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
 * Method: median of the changes (of two their mean, of four, six … the middle one nearer to none); a jump when all tips agree with it (of four or more: all but one) and it is beyond
 *   chance (0.1 %, t with the degrees of freedom of the spread). To agree is to lie within 3.5 standard deviations, or within a third of
 *   the jump, for a tip that wears does so in that week too. Changes and not levels are looked at: tips that all wear steadily change
 *   little from one week to the next.
 * @param degreesOfFreedom of the standard deviations. @returns null when nothing is shared; needs two tips or more.
 */
export function sharedJump(changes: readonly Change[], degreesOfFreedom: number): SharedJump | null {
  const n = changes.length;
  if (n < 2) return null;
  const jump = middleOf(changes.map(({ value }) => value));
  const agreeing = changes.filter(
    ({ value, standardDeviation }) =>
      Math.abs(value - jump) <= Math.max(AGREES_WITHIN * standardDeviation, Math.abs(jump) / 3),
  );
  if (agreeing.length < (n >= TIPS_FOR_ONE_APART ? n - 1 : n)) return null;
  const ofMean = Math.hypot(...changes.map(({ standardDeviation }) => standardDeviation)) / n;
  const u = n === 2 ? ofMean : MEDIAN_OVER_MEAN * ofMean;
  if (!(Math.abs(jump) > tQuantile(1 - FALSE_JUMP / 2, degreesOfFreedom) * u)) return null;
  return { jump, expandedUncertainty95: tQuantile(0.975, degreesOfFreedom) * u, tips: agreeing.length };
}

/** Half of the tips changing by themselves in one week must not make a jump of what the other half did not do. */
function middleOf(values: readonly number[]): number {
  if (values.length === 2 || values.length % 2 === 1) return median(values);
  const sorted = values.toSorted((a, b) => a - b);
  const [below, above] = [sorted[values.length / 2 - 1]!, sorted[values.length / 2]!];
  return Math.abs(below) < Math.abs(above) ? below : above;
}
