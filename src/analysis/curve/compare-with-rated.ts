import { ok, refused } from '../../base/outcome.ts';
import type { Outcome } from '../../base/outcome.ts';
import { tQuantile } from '../../base/statistics/distributions.ts';
import { combineUncertainty } from '../../base/statistics/welch-satterthwaite.ts';
import type { RatedComparison } from '../sweep/analysis.ts';
import type { NozzleCurve } from './nozzle-curve.ts';
import { predictFlow } from './predict-flow.ts';

/** The trade's replacement habit: 10 % above rated. Common practice, no source for it as a rule of physics; a preference. */
export const USUAL_LIMIT_RATIO = 1.1;

export interface RatedTip {
  readonly ratedFlow_m3_per_s: number | null;
  readonly ratedPressure_Pa: number | null;
}

export interface RatedOptions {
  /** Default 1.10. */
  readonly limitRatio?: number;
  /**
   * Standard uncertainty of the error ALL settings share (a dial that reads high everywhere). Left out: as large as the doubt of
   * one setting (1.5 psi assumed), because catches on one dial can't show it. Give the zero reading's own doubt when the dial
   * was read at zero pressure and the pressures were corrected for it. A sensor's shared error is in k already: then 0.
   */
  readonly sharedOffsetStandardUncertainty_Pa?: number;
  /** Relative standard uncertainty of the dial's gain; 0 unless something is known: a gain error can't be seen in a sweep. */
  readonly sharedGainRelativeStandardUncertainty?: number;
}

/**
 * Percent of rated: k·√(rated pressure) over the rated flow (rule 11.4 b). Unlike the flow at a mark of this dial, it needs the
 * TRUE pressure, so the dial's shared offset and gain are added to its ±; shared parts of the flow are in k already.
 * The verdict speaks only when the whole 95 % interval lies on one side of the limit; astride it: `cannot-tell-yet`
 * (the way out: read the dial at zero).
 * Refused: `no-rated-flow`; `flow-not-positive` / `setting-not-positive` for a rating that is none; `outside-measured-range`
 * when the rated pressure lies outside the measured pressures and a tenth beyond.
 */
export function compareWithRated(
  curve: NozzleCurve,
  tip: RatedTip,
  options: RatedOptions = {},
): Outcome<RatedComparison> {
  const { ratedFlow_m3_per_s, ratedPressure_Pa } = tip;
  if (ratedFlow_m3_per_s === null || ratedPressure_Pa === null) return refused('no-rated-flow');
  if (!(ratedFlow_m3_per_s > 0)) return refused('flow-not-positive');
  if (!(ratedPressure_Pa > 0)) return refused('setting-not-positive');
  const measured = predictFlow(curve, ratedPressure_Pa);
  if (!measured.ok) return measured;

  const limitRatio = options.limitRatio ?? USUAL_LIMIT_RATIO;
  const offset = options.sharedOffsetStandardUncertainty_Pa ?? sharedOffset_Pa(curve);
  const gain = options.sharedGainRelativeStandardUncertainty ?? 0;
  const ratio = measured.value.flow_m3_per_s / ratedFlow_m3_per_s;
  const combined = combineUncertainty([
    {
      standardUncertainty:
        curve.nozzleConstantStandardUncertainty_m3_per_s_per_sqrtPa /
        curve.nozzleConstant_m3_per_s_per_sqrtPa,
      degreesOfFreedom: curve.effectiveDegreesOfFreedom,
    },
    {
      standardUncertainty: offset * curve.offsetSensitivity_per_Pa,
      degreesOfFreedom: Infinity,
    },
    { standardUncertainty: gain / 2, degreesOfFreedom: Infinity },
  ]);
  const expanded = ratio * combined.standardUncertainty * tQuantile(0.975, combined.degreesOfFreedom);
  return ok({
    ratedFlow_m3_per_s,
    ratedPressure_Pa,
    ratio,
    ratioExpandedUncertainty95: expanded,
    limitRatio,
    verdict:
      ratio + expanded < limitRatio
        ? 'below-limit'
        : ratio - expanded > limitRatio
          ? 'above-limit'
          : 'cannot-tell-yet',
  });
}

/** What all settings may be wrong by together where nobody said: as much as one setting; nothing more for a sensor, whose is in k. */
export function sharedOffset_Pa(curve: NozzleCurve): number {
  return curve.pressureSharedStandardUncertainty_Pa > 0 ? 0 : curve.settingStandardUncertainty_Pa;
}
