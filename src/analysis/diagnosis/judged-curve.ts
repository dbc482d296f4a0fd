import type { CurveInput } from '../curve/curve-point.ts';
import { findOutlier } from '../curve/find-outlier.ts';
import { fitNozzleCurve } from '../curve/nozzle-curve.ts';
import type { NozzleCurve } from '../curve/nozzle-curve.ts';

/** In doubts of the difference between a catch and the mean of the others at its setting. */
const APART_FROM_ITS_SETTING = 4;

/**
 * The curve that the finding judges: all catches, but for the one that stands apart from the whole sweep (Grubbs) and from the others at
 * its own setting. k, its ± and the picture keep that catch; only a person strikes. A finding made with it would be about that catch:
 * one taken at another pressure than its setting says hides a tip worn by 10 %, or makes a sound one look pump-limited (simulated: a
 * knock before the valve opened, once in some hundred catches). A catch that its own setting bears out stays, however far from √P.
 */
export function judgedCurve(
  input: CurveInput,
  curve: NozzleCurve,
): { readonly curve: NozzleCurve; readonly standsApart: boolean } {
  const outlier = findOutlier(input, curve);
  if (outlier === null) return { curve, standsApart: false };
  const { points } = input;
  const wild = points[outlier.index]!;
  const mates = points.filter((point, i) => i !== outlier.index && point.setting_Pa === wild.setting_Pa);
  const all = { curve, standsApart: true };
  if (mates.length === 0) return all;
  // Flow over √P: a pressure that was seen to move is no difference.
  const pressureOf = ({ pressure_Pa, setting_Pa }: typeof wild): number =>
    input.pressureMeasured ? pressure_Pa : setting_Pa;
  const constantOf = (point: typeof wild): number => point.flow_m3_per_s / Math.sqrt(pressureOf(point));
  const mean = mates.reduce((sum, mate) => sum + constantOf(mate), 0) / mates.length;
  const relative = Math.hypot(
    wild.ownStandardUncertainty_m3_per_s / wild.flow_m3_per_s,
    input.protocol === 're-set' ? input.settingStandardUncertainty_Pa / (2 * pressureOf(wild)) : 0,
  );
  const apart = Math.abs(constantOf(wild) / mean - 1) / relative / Math.sqrt(1 + 1 / mates.length);
  if (!(apart > APART_FROM_ITS_SETTING)) return all;
  const without = fitNozzleCurve({ ...input, points: points.filter((_, i) => i !== outlier.index) });
  return without.ok ? { curve: without.value, standsApart: true } : all;
}
