import type { VoidReason, WithdrawnReason } from '../../base/because.ts';
import { limits } from './limits.ts';

export interface PourFacts {
  readonly lasted_s: number;
  readonly flow_kg_per_s: number;
  /** How far it was from a straight line, as a standard deviation, robustly. */
  readonly crooked_kg: number;
  readonly rise_kg: number;
  /** It ended on a level that the pail had shown before it was poured into. */
  readonly endsOnSeenLevel: boolean;
  readonly frozenFor_s: number;
}

export type Verdict =
  | { readonly water: true; readonly voidBecause: VoidReason | null }
  | { readonly water: false; readonly because: WithdrawnReason };

const notWater = (because: WithdrawnReason): Verdict => ({ water: false, because });

/** Water, or something that only pushed? Asked once the level has settled. */
export function classifyPour(facts: PourFacts): Verdict {
  const { lasted_s, flow_kg_per_s, rise_kg } = facts;
  const expected_kg = flow_kg_per_s * lasted_s;
  const short = lasted_s < limits.shortest_s;
  if (short && rise_kg < limits.settledShare * expected_kg) return notWater('too-short-and-fell-back');
  if (lasted_s < limits.pushAtMost_s || rise_kg < limits.pushedShare * expected_kg)
    return notWater('pail-pushed');
  if (rise_kg < limits.settledShare * expected_kg) return notWater('settled-too-low');
  if (facts.endsOnSeenLevel && lasted_s < limits.seenBeforeWithin_s) return notWater('pail-pushed');
  if (flow_kg_per_s < limits.leastFlow_kg_per_s) return notWater('too-slow');
  if (facts.crooked_kg > limits.crookedShare * rise_kg) return notWater('not-straight');
  if (short) return { water: true, voidBecause: 'too-short' };
  if (facts.frozenFor_s > limits.frozenShare * lasted_s)
    return { water: true, voidBecause: 'display-frozen' };
  return { water: true, voidBecause: null };
}
