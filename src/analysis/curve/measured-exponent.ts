import { ok, refused } from '../../base/outcome.ts';
import type { Outcome } from '../../base/outcome.ts';
import { yorkLine } from '../../base/statistics/york-line.ts';
import type { FitPoint, FitPointParts } from './fit-points.ts';

/**
 * What: the free exponent of flow = k·pressureⁿ when each pressure was READ, with an error of its own that least squares in flow alone
 *   would take for a flatter curve (simulated at 2 psi: 0.493 for 0.5).
 * Formula: York's line through (ln pressure, ln flow) with u/value in both; nearly exact for errors under some per cent.
 * Source: rule 5.1 of the measurement study; `york-line.ts`. What the sensor's shared offset can do to the exponent is found by fitting
 *   once more with all pressures higher by it, and added to the ± once; a gain changes no exponent.
 * Refused `fit-did-not-settle`, `too-few-settings` like the power law.
 */
export function measuredExponent(
  points: readonly FitPoint[],
  parts: readonly FitPointParts[],
  nozzleConstant: number,
  sharedStandardUncertainty_Pa: number,
): Outcome<{ readonly exponent: number; readonly exponentStandardUncertainty: number }> {
  if (new Set(points.map((point) => point.pressure_Pa)).size < 2) return refused('too-few-settings');
  const pressureRelative = points.map(({ pressure_Pa }, i) => {
    // `setting` is the pressure's doubt as one of flow, k/(2√P)·u: back to u/P.
    return (2 * parts[i]!.setting) / (nozzleConstant * Math.sqrt(pressure_Pa));
  });
  const flowRelative = points.map((point, i) => {
    const own = point.standardUncertainty_m3_per_s ** 2 - parts[i]!.setting ** 2;
    const least = 1e-9 * point.flow_m3_per_s;
    return Math.max(least, Math.sqrt(Math.max(0, own))) / point.flow_m3_per_s;
  });
  const lineOver = (offset_Pa: number) =>
    yorkLine(
      points.map((point) => Math.log(point.pressure_Pa + offset_Pa)),
      points.map((point) => Math.log(point.flow_m3_per_s)),
      pressureRelative,
      flowRelative,
    );
  const line = lineOver(0);
  const shifted = lineOver(sharedStandardUncertainty_Pa);
  if (line === null || shifted === null) return refused('fit-did-not-settle');
  return ok({
    exponent: line.slope,
    exponentStandardUncertainty: Math.hypot(line.slopeStandardUncertainty, shifted.slope - line.slope),
  });
}
