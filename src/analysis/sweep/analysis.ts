import type { DialRepeats } from '../curve/dial-repeats.ts';
import type { DialZero } from '../curve/dial-zero.ts';
import type { Finding } from '../diagnosis/diagnosis.ts';
import type { Absence, VoidReason, Warning, WithdrawnReason } from '../../base/because.ts';

/**
 * What an analysis of one capture says: exactly the documented JSON (format "catchbench-analysis 1").
 * SI, unit in the name, unrounded, every number finite. A null leaf has `<nameWithoutUnit>Because` beside it.
 */
export interface Analysis {
  readonly format: 'catchbench-analysis 1';
  readonly file: string;
  readonly estimatorVersion: string;
  readonly simulated: boolean;
  readonly readings: number;
  readonly linesRefused: number;
  readonly gaps: number;
  readonly duration_s: number;
  readonly clockRatio: number | null;
  readonly clockRatioBecause?: Absence;
  readonly clockRatioStandardUncertainty: number | null;
  readonly clockRatioStandardUncertaintyBecause?: Absence;
  readonly warnings: readonly Warning[];
  readonly catches: readonly AnalysedCatch[];
  readonly withdrawn: readonly { readonly start_s: number; readonly because: WithdrawnReason }[];
  readonly curve: AnalysedCurve | null;
  readonly curveBecause: Absence | null;
  readonly finding: Finding | null;
  readonly findingBecause: Absence | null;
}

export interface AnalysedCatch {
  readonly start_s: number;
  readonly stop_s: number;
  readonly setting_Pa: number | null;
  readonly settingBecause?: Absence | Warning;
  readonly pressure_Pa: number | null;
  readonly pressureBecause?: Absence;
  readonly pour: number;
  readonly mass_kg: number | null;
  readonly massBecause?: Absence;
  readonly massFlow_kg_per_s: number | null;
  readonly massFlowBecause?: Absence;
  readonly flow_m3_per_s: number | null;
  readonly flowBecause?: Absence;
  readonly flowFrom: 'mass' | 'pulses' | null;
  readonly flowFromBecause?: Absence;
  /** The four parts are standard uncertainties. */
  readonly typeA_m3_per_s: number | null;
  readonly typeABecause?: Absence;
  readonly typeADegreesOfFreedom: number | null;
  readonly typeADegreesOfFreedomBecause?: Absence;
  readonly jetAllowance_m3_per_s: number | null;
  readonly jetAllowanceBecause?: Absence;
  readonly ownTypeB_m3_per_s: number | null;
  readonly ownTypeBBecause?: Absence;
  readonly sharedTypeB_m3_per_s: number | null;
  readonly sharedTypeBBecause?: Absence;
  readonly standardUncertainty_m3_per_s: number | null;
  readonly standardUncertaintyBecause?: Absence;
  readonly degreesOfFreedom: number | null;
  readonly degreesOfFreedomBecause?: Absence;
  readonly expandedUncertainty95_m3_per_s: number | null;
  readonly expandedUncertainty95Because?: Absence;
  readonly drip_m3_per_s: number | null;
  readonly dripBecause?: Absence;
  readonly struck: boolean;
  readonly voidBecause: VoidReason | null;
  readonly warnings: readonly Warning[];
}

export interface AnalysedCurve {
  readonly used: readonly number[];
  readonly nozzleConstant_m3_per_s_per_sqrtPa: number;
  readonly nozzleConstantStandardUncertainty_m3_per_s_per_sqrtPa: number;
  readonly degreesOfFreedom: number;
  readonly exponent: number | null;
  readonly exponentBecause?: Absence;
  readonly exponentStandardUncertainty: number | null;
  readonly exponentStandardUncertaintyBecause?: Absence;
  readonly lackOfFit: {
    readonly chiSquare: number;
    readonly degreesOfFreedom: number;
    readonly pValue: number;
  } | null;
  readonly lackOfFitBecause?: Absence;
  readonly residuals_m3_per_s: readonly number[];
}

/**
 * What the screen needs beside the documented analysis; computed where distributions may be used, so that the page needs none.
 */
export interface CurvePicture {
  readonly curve: AnalysedCurve;
  /** 95 % band of the fitted curve and 95 % prediction for one more catch, at ascending pressures inside the range allowed. */
  readonly pressures_Pa: readonly number[];
  readonly flow_m3_per_s: readonly number[];
  readonly bandHalfWidth_m3_per_s: readonly number[];
  readonly nozzleConstantExpanded95_m3_per_s_per_sqrtPa: number;
  /** Mean of the catches at each setting, with its expanded uncertainty (own parts pooled as the protocol demands). */
  readonly settings: readonly SettingMean[];
  /** A catch that stands apart from the whole sweep (Grubbs, 5 %, eight catches or more); never dropped by itself. */
  readonly outlier: CatchOutlier | null;
  readonly rated: RatedComparison | null;
  readonly ratedBecause: Absence | null;
  /**
   * The dial was read at no pressure. `corrected`: `rated` is at true pressures, with that reading's doubt; else the reading did not say
   * what the dial is off by. The curve stays at the marks of the dial. Absent: it was not read, or a sensor counts.
   */
  readonly dialZero?: DialZero & { readonly corrected: boolean };
  /** How well the dial goes back to a mark, seen in this sweep; null: it was not set anew, or too few repeats. */
  readonly dialRepeats: DialRepeats | null;
}

export interface CatchOutlier {
  /** Index into `catches`. */
  readonly index: number;
  readonly statistic: number;
  readonly criticalValue: number;
}

export interface SettingMean {
  readonly setting_Pa: number;
  readonly catches: readonly number[];
  readonly flow_m3_per_s: number;
  readonly expandedUncertainty95_m3_per_s: number;
}

/** Flow against what the maker stamped on the tip, at the rated pressure; dial's shared error included (measurement rule: two results). */
export interface RatedComparison {
  readonly ratedFlow_m3_per_s: number;
  readonly ratedPressure_Pa: number;
  /** measured ÷ rated, 1 = as rated. */
  readonly ratio: number;
  readonly ratioExpandedUncertainty95: number;
  /** The trade's replacement habit as a preference (common practice, no source): 1.10 unless changed. */
  readonly limitRatio: number;
  readonly verdict: 'below-limit' | 'above-limit' | 'cannot-tell-yet';
}
