import type { CheckedFactor } from '../../analysis/checks/scale-drift.ts';
import {
  referenceMass,
  type ReferenceMass,
  type ScaleReference,
} from '../../analysis/checks/scale-reference.ts';
import { ok, refused, type Outcome } from '../../base/outcome.ts';

export interface ScaleCheckPlan {
  /** One to three, each the whole of what is to stand on the scale beside its vessel. */
  readonly references: readonly ScaleReference[];
  readonly limit_kg: number | null;
  readonly averagedReadings: number | null;
  /** After everything else, so much poured in slowly; absent: not asked for. */
  readonly trickle_kg?: number | null;
  /** What an earlier check with the same references found: drift is told against it. */
  readonly before: CheckedFactor | null;
}

const MOST_LOADS = 3;
/** A trickle has to be told from the steps and the noise of two levels. Judgement, no source. */
const FEWEST_TRICKLE_STEPS = 10;
const LEAST_TRICKLE_KG = 0.01;
/** More is no trickle: in a minute it would run as fast as a tip, and the pail has to hold it beside what stands there. Judgement, no source. */
const MOST_TRICKLE_KG = 2;
const MOST_TRICKLE_OF_LIMIT = 0.1;

/** Is this plan one that can be carried out? Refused in plain words before anybody lifts a thing. */
export function checkPlan(plan: ScaleCheckPlan, step_kg: number | null): Outcome<readonly ReferenceMass[]> {
  const masses: ReferenceMass[] = [];
  if (plan.references.length === 0) return refused('check-mass-not-positive', { mass_kg: 0 });
  for (const reference of plan.references.slice(0, MOST_LOADS)) {
    const mass = referenceMass(reference, { step_kg, limit_kg: plan.limit_kg });
    if (!mass.ok) return mass;
    masses.push(mass.value);
  }
  const { trickle_kg = null } = plan;
  const least_kg = Math.max(LEAST_TRICKLE_KG, FEWEST_TRICKLE_STEPS * (step_kg ?? 0));
  if (trickle_kg !== null && !(trickle_kg >= least_kg * (1 - 1e-9)))
    return refused(trickle_kg > 0 ? 'check-mass-too-small' : 'check-mass-not-positive', {
      trickle_kg,
      least_kg,
    });
  const most_kg = Math.min(MOST_TRICKLE_KG, MOST_TRICKLE_OF_LIMIT * (plan.limit_kg ?? Infinity));
  if (trickle_kg !== null && trickle_kg > most_kg * (1 + 1e-9))
    return refused('check-trickle-too-big', { trickle_kg, most_kg });
  return ok(masses);
}
