import { tQuantile } from '../../../src/base/statistics/distributions.ts';
import { ordinaryLine } from '../../../src/base/statistics/ordinary-line.ts';
import type { CatchContext } from '../../../src/analysis/sweep/analyse-catch.ts';
import { frontTrim_s } from '../../../src/analysis/flow/steady-window.ts';

/** What most people would do: least squares through the same steady window, nothing masked, with the textbook 95 % bar. */
export function plainLine(
  { time_s, mass_kg, averagedReadings }: CatchContext,
  start_s: number,
  stop_s: number,
): { readonly slope: number; readonly halfWidth: number } {
  const inside = time_s.reduce((n, t) => n + (t >= start_s && t <= stop_s ? 1 : 0), 0);
  const from_s = start_s + frontTrim_s(averagedReadings, (stop_s - start_s) / Math.max(1, inside));
  const wanted = (_value: number, i: number): boolean =>
    time_s[i]! >= from_s && time_s[i]! <= stop_s - 0.3 && Number.isFinite(mass_kg[i]!);
  const line = ordinaryLine(time_s.filter(wanted), mass_kg.filter(wanted));
  if (line?.slopeStandardUncertainty == null) return { slope: NaN, halfWidth: NaN };
  return {
    slope: line.slope,
    halfWidth: tQuantile(0.975, line.degreesOfFreedom) * line.slopeStandardUncertainty,
  };
}
