/** Conditions of the simulated bench that push a result where its ± does not reach: then chance is not to blame. */
import type { CatchView, RigFault, SimulatedScenario } from '../contract.ts';
import { doubtsOf } from './doubts.ts';
import { words } from './page.ts';

/** Water that is lost, or weighed twice, looks like another flow: no reading tells. */
const alwaysUnseen: ReadonlySet<SimulatedScenario> = new Set(['mist-lost', 'foam']);
/** These are seen, and then each catch is doubtful. */
const seenInCatches: ReadonlySet<SimulatedScenario> = new Set([
  'windy',
  'freezing-display',
  'rough',
  'worst',
]);

/** The true constant has these in it. */
const ofTheTip: ReadonlySet<RigFault['kind']> = new Set<RigFault['kind']>(['none', 'worn', 'restricted']);

/** @returns the conditions in words if they can be why a result is outside its ±; else null, and it may be chance. */
export function conditionsToBlame(data: {
  readonly conditions: SimulatedScenario | null;
  readonly faults?: readonly RigFault[] | null;
  readonly catches: readonly CatchView[];
}): string | null {
  const { conditions, faults } = data;
  if ((faults ?? []).some(({ kind }) => !ofTheTip.has(kind))) return 'the fault of the rig';
  if (conditions === null) return null;
  const counted = data.catches.filter((one) => one.voidBecause === null && !one.struck);
  const allDoubtful = counted.length > 0 && counted.every((one) => doubtsOf(one).length > 0);
  const blamed = alwaysUnseen.has(conditions) || (seenInCatches.has(conditions) && allDoubtful);
  return blamed ? words.scenarios[conditions] : null;
}
