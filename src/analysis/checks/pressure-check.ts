import { ok, refused, type Outcome } from '../../base/outcome.ts';

/** What the sensor showed, on its nominal line, over some quiet seconds. */
export interface ShownPressure {
  readonly mean_Pa: number;
  readonly standardUncertainty_Pa: number;
}

export interface PressureCheckInput {
  readonly openToAir: ShownPressure;
  readonly atKnown: ShownPressure;
  /** What a trusted gauge read then, above the air's pressure, and what that is worth. */
  readonly known_Pa: number;
  readonly knownStandardUncertainty_Pa: number;
  readonly fullScale_Pa: number;
}

/** true = gain × (shown − zero). */
export interface PressureCheckResult {
  readonly zero_Pa: number;
  readonly gain: number;
  /** At the known pressure, the largest in the range that was checked. */
  readonly standardUncertainty_Pa: number;
}

/** A sensor open to the air that shows more is wired wrong, still under pressure, or not the one that was told. */
const ZERO_OF_FULL_SCALE = 0.05;
const LEAST_SPAN_OF_FULL_SCALE = 0.2;
const BELIEVABLE_GAIN = [0.8, 1.25] as const;

/**
 * Two-point check of a pressure sensor: open to the air, and at one pressure read on a trusted gauge.
 * Refused: `pressure-zero-off` (`zero_Pa`, `limit_Pa`), `pressure-points-too-close` (the known pressure under a fifth of full scale),
 * `pressure-beyond-sensor`, `pressure-gain-absurd` (outside 0.8-1.25). Formula and propagation: arithmetic (JCGM 100 5.1.2).
 */
export function checkPressure(input: PressureCheckInput): Outcome<PressureCheckResult> {
  const { openToAir, atKnown, known_Pa, fullScale_Pa } = input;
  const limit_Pa = ZERO_OF_FULL_SCALE * fullScale_Pa;
  if (!(Math.abs(openToAir.mean_Pa) <= limit_Pa)) {
    return refused('pressure-zero-off', { zero_Pa: openToAir.mean_Pa, limit_Pa });
  }
  if (!(known_Pa <= fullScale_Pa)) return refused('pressure-beyond-sensor', { known_Pa, fullScale_Pa });
  const least_Pa = LEAST_SPAN_OF_FULL_SCALE * fullScale_Pa;
  const span_Pa = atKnown.mean_Pa - openToAir.mean_Pa;
  if (!(known_Pa >= least_Pa && span_Pa > limit_Pa)) {
    return refused('pressure-points-too-close', { known_Pa, least_Pa });
  }
  const gain = known_Pa / span_Pa;
  if (!(gain >= BELIEVABLE_GAIN[0] && gain <= BELIEVABLE_GAIN[1])) {
    return refused('pressure-gain-absurd', { shown_Pa: atKnown.mean_Pa, known_Pa });
  }
  return ok({
    zero_Pa: openToAir.mean_Pa,
    gain,
    standardUncertainty_Pa: Math.hypot(
      input.knownStandardUncertainty_Pa,
      gain * atKnown.standardUncertainty_Pa,
      gain * openToAir.standardUncertainty_Pa,
    ),
  });
}
