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
