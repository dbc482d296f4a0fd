import { ok } from '../../base/outcome.ts';
import type { Outcome } from '../../base/outcome.ts';
import type { DetectedCatch } from '../../signal/catches/catch-event.ts';
import { estimateMassFlow } from '../flow/estimate-mass-flow.ts';
import type { RigEstimate } from '../rigs/rig-catch.ts';
import { rigReaders } from '../rigs/rig-readers.ts';
import type { CatchContext } from './analyse-catch.ts'; // type only: no circle at run time

/** A catch's mass flow as its rig asks; a held pressure into a pail as always. */
export function estimated(caught: DetectedCatch, context: CatchContext): Outcome<RigEstimate> {
  if (context.rig) return rigReaders().estimateForRig(context.rig, context, caught);
  const { time_s, mass_kg, averagedReadings, step_kg } = context;
  const found = estimateMassFlow(time_s, mass_kg, time_s.length, caught.start_s, caught.stop_s, {
    averagedReadings,
    step_kg,
  });
  return found.ok ? ok({ estimate: found.value, ownTypeB_kg_per_s: 0, detail: null, warnings: [] }) : found;
}
