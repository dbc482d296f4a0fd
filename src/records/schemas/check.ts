import * as v from 'valibot';
import { scaleDecisions } from '../instrument-check.ts';
import { LONGEST_LIST, notNegative, positive, quantity, warningList, wholeNumber } from './common.ts';

const value = v.nullable(quantity);

const load = v.strictObject({
  reference_kg: positive,
  shown_kg: quantity,
  residual_kg: quantity,
  standardUncertainty_kg: notNegative,
});

/** What a check of the instrument found; the keys are those of `analysis/checks`. */
export const checkSchema = v.variant('kind', [
  v.strictObject({
    kind: v.literal('scale'),
    from: v.picklist(['mass-pieces', 'water-volume']),
    factor: positive,
    relativeStandardUncertainty: notNegative,
    ownRelativeStandardUncertainty: notNegative,
    relativeExpandedUncertainty95: notNegative,
    degreesOfFreedom: positive,
    verdict: v.picklist(['agrees', 'off', 'cannot-tell']),
    error_kg: quantity,
    loads: v.pipe(v.array(load), v.maxLength(LONGEST_LIST)),
    straightness: v.nullable(
      v.strictObject({
        chiSquare: notNegative,
        degreesOfFreedom: positive,
        pValue: notNegative,
        largestResidual_kg: notNegative,
        curved: v.boolean(),
      }),
    ),
    zeroReturn_kg: value,
    explainingTilt_deg: value,
    step_kg: value,
    warnings: warningList,
    decision: v.picklist(scaleDecisions),
    drift: v.nullable(
      v.strictObject({ relative: quantity, standardUncertainty: notNegative, moved: v.boolean() }),
    ),
    trickle: v.exactOptional(
      v.strictObject({ trickled_kg: positive, shown_kg: quantity, swallowed: v.boolean() }),
    ),
  }),
  v.strictObject({
    kind: v.literal('meter'),
    pulsesPerCubicMetre: positive,
    pulsesPerCubicMetreStandardUncertainty: notNegative,
    offset_Hz: value,
    offsetStandardUncertainty_Hz: value,
    correlation: value,
    referenceRelativeStandardUncertainty: notNegative,
    lowestFlow_m3_per_s: positive,
    highestFlow_m3_per_s: positive,
    points: wholeNumber,
    reducedChiSquare: value,
    warnings: warningList,
  }),
  v.strictObject({
    kind: v.literal('clock'),
    ratio: positive,
    standardUncertainty: notNegative,
    watched_s: positive,
  }),
  v.strictObject({
    kind: v.literal('pressure'),
    known_Pa: positive,
    zero_Pa: quantity,
    gain: positive,
    standardUncertainty_Pa: notNegative,
  }),
]);

/** What a check of the rig found; the keys are those of `analysis/diagnosis/evidence.ts`. */
export const rigCheckSchema = v.variant('kind', [
  v.strictObject({
    kind: v.literal('dial-at-zero'),
    shown_Pa: quantity,
    standardUncertainty_Pa: notNegative,
  }),
  v.strictObject({
    kind: v.literal('flow-stops-at'),
    shown_Pa: quantity,
    standardUncertainty_Pa: notNegative,
  }),
  v.strictObject({
    kind: v.literal('blank-tip'),
    leak_m3_per_s: quantity,
    standardUncertainty_m3_per_s: notNegative,
    pressure_Pa: positive,
  }),
  v.strictObject({
    kind: v.literal('wand-gauge'),
    setting_Pa: positive,
    wand_Pa: quantity,
    standardUncertainty_Pa: notNegative,
  }),
  v.strictObject({
    kind: v.literal('sag-test'),
    setting_Pa: positive,
    flowLostRelative: quantity,
    relativeStandardUncertainty: notNegative,
    sprayed_s: positive,
  }),
]);
