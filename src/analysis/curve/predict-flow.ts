import { refused, ok } from '../../base/outcome.ts';
import type { Outcome } from '../../base/outcome.ts';
import { tQuantile } from '../../base/statistics/distributions.ts';
import { combineUncertainty } from '../../base/statistics/welch-satterthwaite.ts';
import { pressurePart } from './fit-points.ts';
import type { NozzleCurve } from './nozzle-curve.ts';

/** How far outside the measured pressures the curve may be read: a tenth of the end's pressure. Our choice, no source. */
export const ALLOWED_BEYOND = 0.1;

export interface PredictedFlow {
  readonly pressure_Pa: number;
  readonly flow_m3_per_s: number;
  readonly standardUncertainty_m3_per_s: number;
  readonly degreesOfFreedom: number;
  /** 95 % confidence of the curve at this pressure. */
  readonly expandedUncertainty95_m3_per_s: number;
  /** 95 % for the next time this pressure is SET: the doubt of one more setting added. No dial offset in it (rule 11.4 a). */
  readonly nextSettingExpandedUncertainty95_m3_per_s: number;
}

/** The pressures at which the curve may be read. */
export function allowedRange(curve: NozzleCurve): { lowest_Pa: number; highest_Pa: number } {
  return {
    lowest_Pa: curve.lowestPressure_Pa * (1 - ALLOWED_BEYOND),
    highest_Pa: curve.highestPressure_Pa * (1 + ALLOWED_BEYOND),
  };
}

/**
 * Flow k·√P at a mark of THIS dial, with its ±. Refused outside the measured pressures and a tenth beyond
 * (`outside-measured-range`): how a tip behaves there was not measured.
 */
export function predictFlow(curve: NozzleCurve, pressure_Pa: number): Outcome<PredictedFlow> {
  const range = allowedRange(curve);
  // Rounding of a unit conversion must not refuse the very end of the range.
  const slack = 1e-9 * range.highest_Pa;
  if (!(pressure_Pa >= range.lowest_Pa - slack && pressure_Pa <= range.highest_Pa + slack)) {
    return refused('outside-measured-range', { pressure_Pa, ...range });
  }
  const root = Math.sqrt(pressure_Pa);
  const fitted = {
    standardUncertainty: root * curve.nozzleConstantStandardUncertainty_m3_per_s_per_sqrtPa,
    degreesOfFreedom: curve.effectiveDegreesOfFreedom,
  };
  const k = curve.nozzleConstant_m3_per_s_per_sqrtPa;
  const next = combineUncertainty([
    fitted,
    {
      standardUncertainty: pressurePart(k, pressure_Pa, curve.settingStandardUncertainty_Pa),
      degreesOfFreedom: Infinity,
    },
  ]);
  return ok({
    pressure_Pa,
    flow_m3_per_s: k * root,
    standardUncertainty_m3_per_s: fitted.standardUncertainty,
    degreesOfFreedom: fitted.degreesOfFreedom,
    expandedUncertainty95_m3_per_s: root * curve.nozzleConstantExpanded95_m3_per_s_per_sqrtPa,
    nextSettingExpandedUncertainty95_m3_per_s:
      tQuantile(0.975, next.degreesOfFreedom) * next.standardUncertainty,
  });
}

/** Columns for drawing, ascending pressures over the allowed range. */
export interface CurveBand {
  readonly pressures_Pa: readonly number[];
  readonly flow_m3_per_s: readonly number[];
  /** 95 % confidence of the curve: ± at each pressure. */
  readonly bandHalfWidth_m3_per_s: readonly number[];
}

/** `count` pressures (at least 2), evenly spaced. Errors: RangeError for fewer. */
export function curveBand(curve: NozzleCurve, count: number): CurveBand {
  if (!(count >= 2)) throw new RangeError('a band needs at least two pressures');
  const { lowest_Pa, highest_Pa } = allowedRange(curve);
  const pressures_Pa = Array.from(
    { length: count },
    (_, i) => lowest_Pa + ((highest_Pa - lowest_Pa) * i) / (count - 1),
  );
  // As `predictFlow` has it, without what one more setting would add: that costs a t of its own at every pressure, and nobody draws it.
  const along = (perRoot: number): readonly number[] => pressures_Pa.map((p) => perRoot * Math.sqrt(p));
  return {
    pressures_Pa,
    flow_m3_per_s: along(curve.nozzleConstant_m3_per_s_per_sqrtPa),
    bandHalfWidth_m3_per_s: along(curve.nozzleConstantExpanded95_m3_per_s_per_sqrtPa),
  };
}
