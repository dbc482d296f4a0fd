import type { DetectedCatch } from '../../signal/catches/catch-event.ts';
import { likeliestRise_kg } from '../../signal/catches/find-steps.ts';
import type { MassFlowEstimate } from '../flow/estimate-mass-flow.ts';

/** A weight that came or went near an edge is not found as a step; the settled rise then is no mass of water. */
const MASS_FITS_FLOW = 0.06;

/** Rise of the settled level; where a wand came or went meanwhile without its weight, and none if it doesn't fit the flow even so. */
export function settledRise_kg(
  { settled_kg, before_kg, start_s, stop_s }: DetectedCatch,
  estimate: MassFlowEstimate,
): number | null {
  if (settled_kg === null) return null;
  if (estimate.steps.length === 0) return settled_kg - before_kg;
  const expected_kg = estimate.massFlow_kg_per_s * (stop_s - start_s);
  const rise_kg = likeliestRise_kg(settled_kg - before_kg, estimate.steps, expected_kg);
  return Math.abs(rise_kg - expected_kg) > MASS_FITS_FLOW * expected_kg ? null : rise_kg;
}
