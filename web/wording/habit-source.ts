/** Where a limit comes from that the person chooses: habits of the trade and of some authorities. They disagree, and none is a law. */

/** The same as `src/analysis/comparison/habits.ts`, which the page can't reach (held equal by a test). */
export const habitSources: readonly { readonly limit: number; readonly source: string }[] = [
  { limit: 0.05, source: 'Alberta Agriculture, Agdex 606-1, p. 11' },
  { limit: 0.07, source: 'Sports Turf Managers Association, SportsTurf, April 2014' },
  { limit: 0.1, source: 'Florida Pest Control Examinations, p. 213' },
  { limit: 0.15, source: 'Luxembourg Ministry of Agriculture, setting of vineyard sprayers' },
];

/** @param limitRatio flow over the reference, 1.10 = ten per cent more. */
export function habitSource(limitRatio: number): string {
  // Of wear against new, beside what is held of the nozzles of one boom.
  if (Math.abs(limitRatio - 1.1) < 1e-9)
    return 'Ten per cent over new: the usual threshold, as Agricultural Engineering 2018 (doi 10.1515/agriceng-2018-0037) names it. Your label or law may ask for less.';
  const habit = habitSources.find(({ limit }) => Math.abs(1 + limit - limitRatio) < 1e-9);
  return habit === undefined
    ? ''
    : `A habit for the nozzles of one boom, taken here for wear: ${habit.source}. Your label or law may ask for less.`;
}
