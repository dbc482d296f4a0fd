import { refused } from '../../base/outcome.ts';
import type { Outcome } from '../../base/outcome.ts';
import type { Absence } from '../../base/because.ts';
import { absences } from '../../base/because.ts';
import type { AnalysedCurve, CurvePicture, RatedComparison } from '../sweep/analysis.ts';
import type { CurveInput } from './curve-point.ts';
import type { NozzleCurve } from './nozzle-curve.ts';
import { dialRepeats } from './dial-repeats.ts';
import { findOutlier } from './find-outlier.ts';
import { curveBand } from './predict-flow.ts';
import { settingMeans } from './setting-means.ts';

/** Pressures in the drawn band: a smooth square root on a screen. */
const BAND_POINTS = 61;

/**
 * The curve as the documented analysis prints it. `catchIndices[i]` is the place of point i in the analysis' `catches`;
 * `used` lists them in the order of the fit's points (by setting when set once), residuals likewise.
 * Errors: RangeError when a point has no index.
 */
export function analysedCurve(curve: NozzleCurve, catchIndices: readonly number[]): AnalysedCurve {
  const fitTest = curve.lackOfFit;
  return {
    used: curve.points.flatMap((point) => point.catches.map((i) => indexOf(catchIndices, i))),
    nozzleConstant_m3_per_s_per_sqrtPa: curve.nozzleConstant_m3_per_s_per_sqrtPa,
    nozzleConstantStandardUncertainty_m3_per_s_per_sqrtPa:
      curve.nozzleConstantStandardUncertainty_m3_per_s_per_sqrtPa,
    degreesOfFreedom: curve.degreesOfFreedom,
    exponent: curve.exponent,
    ...(curve.exponentBecause === null ? {} : { exponentBecause: curve.exponentBecause }),
    exponentStandardUncertainty: curve.exponentStandardUncertainty,
    ...(curve.exponentBecause === null ? {} : { exponentStandardUncertaintyBecause: curve.exponentBecause }),
    lackOfFit:
      fitTest === null
        ? null
        : {
            chiSquare: fitTest.chiSquare,
            degreesOfFreedom: fitTest.degreesOfFreedom,
            pValue: fitTest.pValue,
          },
    ...(curve.lackOfFitBecause === null ? {} : { lackOfFitBecause: curve.lackOfFitBecause }),
    residuals_m3_per_s: curve.residuals_m3_per_s,
  };
}

/** What the screen draws; `rated` as `compareWithRated` gave it. Input and curve must belong together. */
export function buildPicture(
  input: CurveInput,
  curve: NozzleCurve,
  catchIndices: readonly number[],
  rated: Outcome<RatedComparison> = refused('no-rated-flow'),
): CurvePicture {
  const band = curveBand(curve, BAND_POINTS);
  const outlier = findOutlier(input, curve);
  return {
    curve: analysedCurve(curve, catchIndices),
    pressures_Pa: band.pressures_Pa,
    flow_m3_per_s: band.flow_m3_per_s,
    bandHalfWidth_m3_per_s: band.bandHalfWidth_m3_per_s,
    nozzleConstantExpanded95_m3_per_s_per_sqrtPa: curve.nozzleConstantExpanded95_m3_per_s_per_sqrtPa,
    settings: settingMeans(input).map((mean) => ({
      ...mean,
      catches: mean.catches.map((i) => indexOf(catchIndices, i)),
    })),
    outlier: outlier === null ? null : { ...outlier, index: indexOf(catchIndices, outlier.index) },
    rated: rated.ok ? rated.value : null,
    ratedBecause: rated.ok ? null : asAbsence(rated.because),
    dialRepeats: dialRepeats(input),
  };
}

function indexOf(catchIndices: readonly number[], point: number): number {
  const index = catchIndices[point];
  if (index === undefined) throw new RangeError(`point ${point} has no catch`);
  return index;
}

/** A rating that is no rating (zero flow) reads as none. */
function asAbsence(because: string): Absence {
  return absences.find((absence) => absence === because) ?? 'no-rated-flow';
}
