import type { Analysis, CurvePicture } from '../analysis/sweep/analysis.ts';
import type { ShownResult } from './bench-record.ts';

/** What stood on the screen, for the record. */
export function shownResult(analysis: Analysis, picture: CurvePicture | null): ShownResult {
  return {
    estimatorVersion: analysis.estimatorVersion,
    curve: analysis.curve,
    curveBecause: analysis.curveBecause,
    nozzleConstantExpanded95_m3_per_s_per_sqrtPa:
      picture?.nozzleConstantExpanded95_m3_per_s_per_sqrtPa ?? null,
    rated: picture?.rated ?? null,
    warnings: analysis.warnings,
  };
}
