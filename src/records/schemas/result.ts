import * as v from 'valibot';
import {
  absence,
  filledText,
  indices,
  notNegative,
  quantities,
  quantity,
  voidReason,
  warning,
  warningList,
  wholeNumber,
} from './common.ts';

const value = v.nullable(quantity);
const because = v.exactOptional(absence);

/** A catch as the analysis prints it; the keys are those of `analysis/sweep/analysis.ts`. */
export const analysedCatchSchema = v.strictObject({
  start_s: quantity,
  stop_s: quantity,
  setting_Pa: value,
  settingBecause: v.exactOptional(v.union([absence, warning])),
  pressure_Pa: value,
  pressureBecause: because,
  pour: wholeNumber,
  mass_kg: value,
  massBecause: because,
  massFlow_kg_per_s: value,
  massFlowBecause: because,
  flow_m3_per_s: value,
  flowBecause: because,
  flowFrom: v.nullable(v.picklist(['mass', 'pulses'])),
  flowFromBecause: because,
  typeA_m3_per_s: value,
  typeABecause: because,
  typeADegreesOfFreedom: value,
  typeADegreesOfFreedomBecause: because,
  jetAllowance_m3_per_s: value,
  jetAllowanceBecause: because,
  ownTypeB_m3_per_s: value,
  ownTypeBBecause: because,
  sharedTypeB_m3_per_s: value,
  sharedTypeBBecause: because,
  standardUncertainty_m3_per_s: value,
  standardUncertaintyBecause: because,
  degreesOfFreedom: value,
  degreesOfFreedomBecause: because,
  expandedUncertainty95_m3_per_s: value,
  expandedUncertainty95Because: because,
  drip_m3_per_s: value,
  dripBecause: because,
  struck: v.boolean(),
  voidBecause: v.nullable(voidReason),
  warnings: warningList,
});

export const curveSchema = v.strictObject({
  used: indices,
  nozzleConstant_m3_per_s_per_sqrtPa: quantity,
  nozzleConstantStandardUncertainty_m3_per_s_per_sqrtPa: notNegative,
  degreesOfFreedom: notNegative,
  exponent: value,
  exponentBecause: because,
  exponentStandardUncertainty: value,
  exponentStandardUncertaintyBecause: because,
  lackOfFit: v.nullable(
    v.strictObject({ chiSquare: notNegative, degreesOfFreedom: notNegative, pValue: notNegative }),
  ),
  lackOfFitBecause: because,
  residuals_m3_per_s: quantities,
});

const ratedSchema = v.strictObject({
  ratedFlow_m3_per_s: quantity,
  ratedPressure_Pa: quantity,
  ratio: quantity,
  ratioExpandedUncertainty95: notNegative,
  limitRatio: quantity,
  verdict: v.picklist(['below-limit', 'above-limit', 'cannot-tell-yet']),
});

export const shownResultSchema = v.strictObject({
  estimatorVersion: filledText,
  curve: v.nullable(curveSchema),
  curveBecause: v.nullable(absence),
  nozzleConstantExpanded95_m3_per_s_per_sqrtPa: v.nullable(notNegative),
  rated: v.nullable(ratedSchema),
  warnings: warningList,
});
