/** Where a limit for wear comes from: a habit of the trade that the person chooses, each with its source. */
import { habits } from '../../src/analysis/comparison/habits.ts';

/** @param limitRatio flow over the reference, 1.10 = ten per cent more. */
export function habitSource(limitRatio: number): string {
  // Of wear against new, beside what is held of the nozzles of one boom.
  if (Math.abs(limitRatio - 1.1) < 1e-9)
    return 'Ten per cent over new: the usual threshold, as Agricultural Engineering 2018 (doi 10.1515/agriceng-2018-0037) names it. Your label or law may ask for less.';
  const habit = habits.find(({ limit }) => Math.abs(1 + limit - limitRatio) < 1e-9);
  return habit === undefined
    ? ''
    : `A habit for the nozzles of one boom, taken here for wear: ${habit.source}. Your label or law may ask for less.`;
}
