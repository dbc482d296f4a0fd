/**
 * How far a tip of a set may be from the mean: habits of the trade and of some authorities, never a law of physics, and they disagree.
 * A preference of the person. The sources as seen (design note of check values, section 3).
 */
export const habits = [
  { limit: 0.05, source: 'Alberta Agriculture, Agdex 606-1, p. 11' },
  { limit: 0.07, source: 'Sports Turf Managers Association, SportsTurf, April 2014' },
  { limit: 0.1, source: 'Florida Pest Control Examinations, p. 213' },
  { limit: 0.15, source: 'Luxembourg Ministry of Agriculture, setting of vineyard sprayers' },
] as const;

export type Habit = (typeof habits)[number];
/** SportsTurf, September 2012, calls 5 to 10 per cent typical. */
export const USUAL_HABIT: Habit = habits[2];
