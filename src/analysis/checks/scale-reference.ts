import { ok, refused, type Outcome } from '../../base/outcome.ts';
import { STATED_TEMPERATURE_U_degC, waterDensity_kg_per_m3 } from '../flow/water-density.ts';

/** What a person puts on the scale to check it. ± as standard uncertainties. */
export type ScaleReference =
  | { readonly kind: 'mass-pieces'; readonly mass_kg: number; readonly standardUncertainty_kg: number }
  | {
      readonly kind: 'water-volume';
      readonly volume_m3: number;
      readonly standardUncertainty_m3: number;
      readonly temperature_degC: number | null;
    };

export interface ReferenceMass {
  readonly mass_kg: number;
  readonly standardUncertainty_kg: number;
}

export interface ScaleLimits {
  /** Step of the display, kg; null or 0: too fine to matter, or not seen yet. */
  readonly step_kg: number | null;
  /** What the scale bears, kg; null: not told. */
  readonly limit_kg: number | null;
}

/** Nobody lifts more onto a pail scale by hand: a number beyond it is a slip of the unit. Judgement, no source. */
const BEYOND_HANDS_KG = 100;
/** Under so many steps the rounding alone hides half a percent. */
const FEWEST_STEPS = 100;
/** Under this even a fine scale's own noise is most of the answer. Judgement, no source. */
const LEAST_KG = 0.05;
/** A reference worse than this tells nothing that the eye does not. Judgement, no source. */
const WORST_REFERENCE = 0.025;

/**
 * The mass a reference stands for, before anybody lifts a thing. Pieces: as marked (conventional mass). Water: volume × density at its
 * temperature, the true mass, so that a factor found with it already holds the air's buoyancy (measurement notes 11.13).
 * Refused: `check-mass-not-positive`, `check-mass-too-big` (`limit_kg`), `check-mass-too-small` (`least_kg`),
 * `check-reference-unsure`, `check-water-temperature-missing`, `check-water-out-of-range` (outside 0-40 °C).
 */
export function referenceMass(reference: ScaleReference, limits: ScaleLimits): Outcome<ReferenceMass> {
  const found = reference.kind === 'mass-pieces' ? ok(reference) : waterMass(reference);
  if (!found.ok) return found;
  const { mass_kg, standardUncertainty_kg } = found.value;
  if (!(mass_kg > 0)) return refused('check-mass-not-positive', { mass_kg });
  const limit_kg = Math.min(limits.limit_kg ?? BEYOND_HANDS_KG, BEYOND_HANDS_KG);
  if (!(mass_kg <= limit_kg)) return refused('check-mass-too-big', { mass_kg, limit_kg });
  const least_kg = Math.max(LEAST_KG, FEWEST_STEPS * (limits.step_kg ?? 0));
  // A hundred steps are enough, whatever binary fractions make of them.
  if (mass_kg < least_kg * (1 - 1e-9)) return refused('check-mass-too-small', { mass_kg, least_kg });
  if (!(standardUncertainty_kg >= 0 && standardUncertainty_kg <= WORST_REFERENCE * mass_kg)) {
    return refused('check-reference-unsure', { mass_kg, standardUncertainty_kg });
  }
  return ok({ mass_kg, standardUncertainty_kg });
}

function waterMass(water: Extract<ScaleReference, { kind: 'water-volume' }>): Outcome<ReferenceMass> {
  const { temperature_degC, volume_m3 } = water;
  if (temperature_degC === null) return refused('check-water-temperature-missing');
  const density = waterDensity_kg_per_m3(temperature_degC);
  if (!density.ok) return refused('check-water-out-of-range', { temperature_degC });
  let squares = 0;
  for (const sign of [-1, 1]) {
    const near = waterDensity_kg_per_m3(temperature_degC + sign * STATED_TEMPERATURE_U_degC);
    squares += near.ok ? (near.value - density.value) ** 2 / 2 : 0;
  }
  const mass_kg = volume_m3 * density.value;
  return ok({
    mass_kg,
    standardUncertainty_kg: Math.hypot(
      water.standardUncertainty_m3 * density.value,
      volume_m3 * Math.sqrt(squares),
    ),
  });
}
