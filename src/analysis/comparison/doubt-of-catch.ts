import { combineUncertainty } from '../../base/statistics/welch-satterthwaite.ts';
import { widerDoubt, type OneDoubt } from './ratio.ts';

/** One catch, as several at one setting are compared. */
export interface SetCatch {
  readonly flow_m3_per_s: number;
  /** Of this catch alone. 0: nothing is claimed. */
  readonly ownStandardUncertainty_m3_per_s: number;
  readonly ownDegreesOfFreedom?: number;
  /** Of the own part, what repeats show by themselves (the jet's drift); taken off the claim where there are repeats. */
  readonly seenInRepeats_m3_per_s?: number;
}

/**
 * What: relative doubt of one catch, from groups of repeats: their scatter pooled over the groups, or what the catches claim, whichever
 * is wider. Null: neither says. Flows above zero, no empty group.
 */
export function doubtOfCatch(groups: readonly (readonly SetCatch[])[]): OneDoubt | null {
  let squares = 0;
  let degreesOfFreedom = 0;
  for (const group of groups) {
    const centre = meanFlow(group);
    squares += group.reduce((sum, one) => sum + (one.flow_m3_per_s / centre - 1) ** 2, 0);
    degreesOfFreedom += group.length - 1;
  }
  const hasRepeats = degreesOfFreedom > 0;
  const catches = groups.flat();
  const parts = catches.map((one) => {
    const own = one.ownStandardUncertainty_m3_per_s;
    const seen = hasRepeats ? Math.min(own, one.seenInRepeats_m3_per_s ?? 0) : 0;
    return {
      standardUncertainty: Math.sqrt(own * own - seen * seen) / one.flow_m3_per_s,
      degreesOfFreedom: one.ownDegreesOfFreedom ?? Infinity,
    };
  });
  const together = combineUncertainty(parts);
  const claim =
    together.standardUncertainty === 0
      ? null
      : { ...together, standardUncertainty: together.standardUncertainty / Math.sqrt(catches.length) };
  if (!hasRepeats) return claim;
  return widerDoubt({ standardUncertainty: Math.sqrt(squares / degreesOfFreedom), degreesOfFreedom }, claim);
}

export function meanFlow(catches: readonly SetCatch[]): number {
  return catches.reduce((sum, one) => sum + one.flow_m3_per_s, 0) / catches.length;
}
