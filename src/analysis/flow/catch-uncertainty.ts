import { tQuantile } from '../../base/statistics/distributions.ts';
import { combineUncertainty } from '../../base/statistics/welch-satterthwaite.ts';
import type { UncertaintyPart } from '../../base/statistics/welch-satterthwaite.ts';

/** As good as infinitely many: t(0.975) is then the normal 1.95996 to six digits, and the number stays finite in JSON. */
export const MOST_DEGREES_OF_FREEDOM = 1e6;

/** Air density is known to ±5 % (a day's weather, 500 m of height), rectangular: what that leaves in a buoyancy of 0.105 %. */
export const BUOYANCY_RELATIVE_U = (0.05 * 0.00105) / Math.sqrt(3);
/** A host's clock: quartz within 100 ppm, rectangular (check-values 9.7: tolerances of 10-100 ppm). */
export const HOST_CLOCK_RELATIVE_U = 1e-4 / Math.sqrt(3);

export interface ExpandedUncertainty {
  readonly standardUncertainty: number;
  /** Effective, finite: at most 10⁶. */
  readonly degreesOfFreedom: number;
  /** t(0.975, df)·u, two-sided 95 %. */
  readonly expandedUncertainty95: number;
}

/** Parts combined (root sum of squares, Welch-Satterthwaite) and expanded for 95 %; JCGM 100:2008 G.4.1, G.6.4. */
export function expandUncertainty(parts: readonly UncertaintyPart[]): ExpandedUncertainty {
  const combined = combineUncertainty(parts);
  const degreesOfFreedom = Math.min(MOST_DEGREES_OF_FREEDOM, combined.degreesOfFreedom);
  return {
    standardUncertainty: combined.standardUncertainty,
    degreesOfFreedom,
    expandedUncertainty95: tQuantile(0.975, degreesOfFreedom) * combined.standardUncertainty,
  };
}

/** The four standard uncertainties of one catch's flow, m³/s, kept apart (measurement rule 11.2). */
export interface CatchParts {
  /** √(S0/Sxx) carried to flow, with its degrees of freedom. */
  readonly typeA_m3_per_s: number;
  readonly typeADegreesOfFreedom: number;
  readonly jetAllowance_m3_per_s: number;
  /** What else belongs to this catch alone: rounding of the display at a resonance. */
  readonly ownTypeB_m3_per_s: number;
  /** Temperature, density, clock: the same for every catch of the capture; cancels in ratios. */
  readonly sharedTypeB_m3_per_s: number;
}

/** Degrees of freedom of the shared part, where a check with few repeats is in it; known if left out. */
type SharedKnowledge = { readonly sharedDegreesOfFreedom?: number };

/** All four together: what is printed beside a single catch. */
export function wholeUncertainty(parts: CatchParts & SharedKnowledge): ExpandedUncertainty {
  return expandUncertainty([
    { standardUncertainty: parts.typeA_m3_per_s, degreesOfFreedom: parts.typeADegreesOfFreedom },
    ...[parts.jetAllowance_m3_per_s, parts.ownTypeB_m3_per_s].map(known),
    {
      standardUncertainty: parts.sharedTypeB_m3_per_s,
      degreesOfFreedom: parts.sharedDegreesOfFreedom ?? Infinity,
    },
  ]);
}

/** Without the shared part: what weighs a catch in the curve, and what "enough" is tested on. */
export function ownUncertainty(parts: CatchParts): ExpandedUncertainty {
  return wholeUncertainty({ ...parts, sharedTypeB_m3_per_s: 0 });
}

function known(standardUncertainty: number): UncertaintyPart {
  return { standardUncertainty, degreesOfFreedom: Infinity };
}
