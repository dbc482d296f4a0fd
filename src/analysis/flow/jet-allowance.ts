export type Wand = 'hand-held' | 'guided';

/** How far the jet's push may drift over one catch, as a share of the push itself (measurement study 2.2 (5): assumed, simulated). */
export const JET_DRIFT_SHARE: Readonly<Record<Wand, number>> = { guided: 0.05, 'hand-held': 0.15 };

/** Catches up to this length see the drift as stated; in longer ones it grows with the length (rule 11.14). */
export const JET_DRIFT_REACH_s = 30;

/** Push per mass flow at 24 m/s, about 40 psi: momentum alone (arithmetic: 2.4 g per g/s). */
export const LARGEST_PUSH_PER_FLOW_s = 2.4;

/**
 * What: standard uncertainty of a mass flow from a jet whose push on the pail drifts during the catch.
 * Purpose: a slow drift of the push bends the slope and can't be seen inside one catch.
 * Formula: r·J/(√3·T)·max(1, T/30 s): a rectangular drift of ±r·J over the catch length T. kg/s, relative to nothing.
 * Errors: RangeError for a length that is not positive.
 * @example jetAllowance_kg_per_s(0.010, 30, 'guided') // 9.62e-6
 */
export function jetAllowance_kg_per_s(jet_kg: number, length_s: number, wand: Wand): number {
  if (!(length_s > 0)) throw new RangeError('a catch has a positive length');
  const share = JET_DRIFT_SHARE[wand];
  return (
    ((share * Math.max(0, jet_kg)) / (Math.sqrt(3) * length_s)) * Math.max(1, length_s / JET_DRIFT_REACH_s)
  );
}

/** Filter assumed where the scale's own is not known, readings (its allowance only; the trim takes the longer 1.7 s). */
const USUAL_AVERAGE = 4;

/**
 * What: the jet's push: how far the line of the steady part, carried back to the start edge, lies above the level before.
 * The scale's own average shows the line late by (n − 1)/2 readings, while the edge is where the display first departs: the flow times
 * that lag is added back. Without it the push comes out 10 g too low behind an eight-reading average, 3 g behind four
 * (simulated, 300 fills each), and the allowance with it. Never negative.
 */
export function jetPush_kg(step: {
  readonly lineAtStart_kg: number;
  readonly before_kg: number;
  readonly massFlow_kg_per_s: number;
  readonly averagedReadings: number | null;
  readonly period_s: number;
}): number {
  const lag_s = (((step.averagedReadings ?? USUAL_AVERAGE) - 1) / 2) * step.period_s;
  return Math.max(0, step.lineAtStart_kg - step.before_kg + step.massFlow_kg_per_s * lag_s);
}
