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
  /** What an earlier check with the same references found: drift is told against it. */
  readonly before: CheckedFactor | null;
}

const MOST_LOADS = 3;

/** Is this plan one that can be carried out? Refused in plain words before anybody lifts a thing. */
export function checkPlan(plan: ScaleCheckPlan, step_kg: number | null): Outcome<readonly ReferenceMass[]> {
  const masses: ReferenceMass[] = [];
  if (plan.references.length === 0) return refused('check-mass-not-positive', { mass_kg: 0 });
  for (const reference of plan.references.slice(0, MOST_LOADS)) {
    const mass = referenceMass(reference, { step_kg, limit_kg: plan.limit_kg });
    if (!mass.ok) return mass;
    masses.push(mass.value);
  }
  return ok(masses);
}
