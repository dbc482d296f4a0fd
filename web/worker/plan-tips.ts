import { catchesNeeded, differenceSeen } from '../../src/analysis/comparison/catches-needed.ts';
import { nameKey } from '../../src/base/name-key.ts';
import { ok, refused, type Outcome } from '../../src/base/outcome.ts';
import { standing } from '../../src/records/standing.ts';
import { checkSetup } from '../../src/session/plan.ts';
import { MOST_CATCHES_OF_A_TIP } from '../../src/session/routine/check-routine.ts';
import type { AnalysedCatch, SweepSetup, TipPlan } from '../contract.ts';
import type { BenchStore } from './storage/bench-store.ts';

/** So many of the newest sweeps of this rig tell what a catch is worth on it. */
const SWEEPS_ASKED = 3;
const FEWEST_CATCHES = 4;
/** No catch on a small scale is surer, whatever a few of them claim (measurement 6 begins there). Relative. */
const LEAST_DEVIATION = 0.001;

/**
 * Beforehand: how many catches of each of two tips the wanted difference takes, with the dial untouched. What one catch is worth is taken
 * from the newest sweeps of the same rig with the same wand; without them from the ± that each catch is to reach (its half-width is about
 * two standard deviations). Refused as `checkSetup` does, and `difference-needs-too-many`.
 */
export async function planTips(
  store: BenchStore,
  setup: SweepSetup,
  simulated: boolean,
): Promise<Outcome<TipPlan>> {
  const checked = checkSetup(setup);
  if (!checked.ok) return checked;
  if (setup.routine?.kind !== 'tip-against-tip') return refused('difference-absurd', { field: 'difference' });
  const earlier = await earlierDeviation(store, setup, simulated);
  const catchStandardDeviation = Math.max(LEAST_DEVIATION, earlier ?? setup.targetRelative / 2);
  const question = { catchStandardDeviation, drift: true };
  const difference = Math.log1p(setup.routine.wantedDifference);
  const needed = catchesNeeded({ ...question, difference });
  // Whole rounds of A B B A only: half a round lets a drift through.
  const catchesPerTip = needed === null ? null : 2 * Math.ceil(needed / 2);
  if (catchesPerTip === null || catchesPerTip > MOST_CATCHES_OF_A_TIP)
    return refused('difference-needs-too-many', {
      difference: setup.routine.wantedDifference,
      least: Math.expm1(differenceSeen(MOST_CATCHES_OF_A_TIP, question)),
    });
  return ok({
    catchesPerTip,
    catchStandardDeviation,
    from: earlier === null ? 'target' : 'earlier-sweeps',
    seenDifference: Math.expm1(differenceSeen(catchesPerTip, question)),
  });
}

/** Root mean square of what good catches claimed of themselves, relative; null with too few of them. */
async function earlierDeviation(
  store: BenchStore,
  { rig }: SweepSetup,
  simulated: boolean,
): Promise<number | null> {
  const list = await store.sweeps();
  if (!list.ok) return null;
  const ofRig = list.value.filter(
    (one) => !one.timedByHand && one.simulated === simulated && nameKey(one.rigName) === nameKey(rig.name),
  );
  const squares: number[] = [];
  for (const { sweepId } of ofRig.slice(0, SWEEPS_ASKED)) {
    const records = await store.records(sweepId);
    if (!records.ok) continue;
    const { sweep, catches } = standing(records.value);
    if (sweep?.setup.rig.wand !== rig.wand) continue;
    for (const { record, strike } of catches) {
      const square = strike === null ? ownSquare(record.shown) : null;
      if (square !== null) squares.push(square);
    }
  }
  if (squares.length < FEWEST_CATCHES) return null;
  return Math.sqrt(squares.reduce((sum, square) => sum + square, 0) / squares.length);
}

function ownSquare(shown: AnalysedCatch): number | null {
  const { flow_m3_per_s: flow, typeA_m3_per_s, jetAllowance_m3_per_s, ownTypeB_m3_per_s } = shown;
  if (flow === null || typeA_m3_per_s === null || shown.voidBecause !== null || shown.struck) return null;
  return (Math.hypot(typeA_m3_per_s, jetAllowance_m3_per_s ?? 0, ownTypeB_m3_per_s ?? 0) / flow) ** 2;
}
