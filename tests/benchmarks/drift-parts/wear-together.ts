import { driftOfRig } from '../../../src/analysis/drift/drift-of-rig.ts';
import { Random } from '../../../src/simulation/random.ts';
import { madeRig } from './made-seasons.ts';

export interface WearTogetherScore {
  readonly tips: number;
  readonly wear_percentPerWeek: number;
  readonly standardDeviation_percent: number;
  readonly weeks: number;
  /** Of all tips. */
  readonly signalledPercent: number;
  /** Runs in which some week of it is laid on the rig. */
  readonly rigBlamedPercent: number;
  /** Of the wear at the end, what is taken off as the rig's. */
  readonly takenOffOfWearPercent: number;
  readonly forecastPercent: number;
  readonly saidEitherPercent: number;
}

/** All tips of a rig wear alike from the baseline on. What is seen of it, and what is laid on the rig? */
export function wearTogether(o: {
  readonly tips: number;
  readonly wear: number;
  readonly standardDeviation: number;
  readonly weeks: number;
  readonly runs: number;
  readonly seed: number;
}): WearTogetherScore {
  const random = new Random(o.seed);
  const made = Array.from({ length: o.runs }, (_, run) => [
    ...driftOfRig(
      madeRig({ ...o, random: random.stream(run), wear: (_tip, week) => o.wear * week }),
    ).values(),
  ]);
  const tips = made.flat();
  const share = (found: number, of: number): number => (100 * found) / of;
  const takenOff = tips.reduce((sum, { points }) => sum + (points.at(-1)!.sharedJump ?? 0), 0);
  return {
    tips: o.tips,
    wear_percentPerWeek: 100 * o.wear,
    standardDeviation_percent: 100 * o.standardDeviation,
    weeks: o.weeks,
    signalledPercent: share(
      tips.filter(({ points }) => points.some(({ signals }) => signals)).length,
      tips.length,
    ),
    rigBlamedPercent: share(made.filter(([chart]) => chart!.rigJumps.length > 0).length, o.runs),
    takenOffOfWearPercent: share(takenOff, tips.length * o.wear * o.weeks),
    forecastPercent: share(tips.filter(({ forecast }) => forecast !== null).length, tips.length),
    saidEitherPercent: share(
      tips.filter(({ warnings }) => warnings.includes('tips-changed-alike')).length,
      tips.length,
    ),
  };
}
