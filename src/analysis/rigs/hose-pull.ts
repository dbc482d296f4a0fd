import { JET_DRIFT_SHARE } from '../flow/jet-allowance.ts';
import type { Wand } from '../flow/jet-allowance.ts';

/**
 * How far the pull of a hanging hose may drift over one catch, kg. Assumed, no source: a filled hose of 10 mm bore weighs about
 * 0.2 kg a metre (arithmetic: 0.08 of water and as much of rubber), half of what hangs between hand and sprayer rests on the sprayer, and a
 * hand that tires sinks by about 10 cm: 10 g. A wand that is clamped moves 2 cm.
 */
export const HOSE_PULL_kg: Readonly<Record<Wand, number>> = { guided: 0.002, 'hand-held': 0.01 };

/**
 * The same as a jet's push, for the allowance of a sprayer on the scale: there the jet presses on nobody's pail and its reaction goes into
 * the hand that holds the wand; what reaches the scale is the hose. A rectangular drift of ±pull is what `jetAllowance_kg_per_s` makes
 * of a push that drifts by its share.
 * @example hosePullAsPush_kg('guided') // 0.04
 */
export function hosePullAsPush_kg(wand: Wand): number {
  return HOSE_PULL_kg[wand] / JET_DRIFT_SHARE[wand];
}
