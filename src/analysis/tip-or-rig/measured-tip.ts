import type { NozzleCurve } from '../curve/nozzle-curve.ts';
import type { LeftOutTip } from './tip-or-rig.ts';

/** One tip on the rig, as the shared model needs it. Plain data; SI. */
export interface MeasuredTip {
  readonly key: string;
  readonly points: readonly TipPoint[];
  /** Null: nothing says what it gave, or gives when new; it is then left out. */
  readonly reference: TipReference | null;
  /** What all its flows of today share (scale, water), relative; those of one `sharedGroup` share it with one another. */
  readonly sharedRelativeStandardUncertainty: number;
  readonly sharedGroup: string;
  /** Never sprayed with: it can't have worn, so what it shows is the rig's. */
  readonly anchor: boolean;
  /** What its own diagnosis shows and the shared model has no place for: it is left out, and told. */
  readonly shows?: LeftOutTip['shows'];
}

/** A catch, or the mean of a setting: what the curve's fit had as a point. */
export interface TipPoint {
  /** What the dial said, or a sensor read. */
  readonly pressure_Pa: number;
  readonly setting_Pa: number;
  readonly flow_m3_per_s: number;
  /** Of the flow alone, relative; and of setting the pressure. Nothing shared in either. */
  readonly ownRelativeStandardUncertainty: number;
  readonly pressureStandardUncertainty_Pa: number;
}

export interface TipReference {
  readonly nozzleConstant_m3_per_s_per_sqrtPa: number;
  /** Its own; a reference holds no wear. */
  readonly ownRelativeStandardUncertainty: number;
  /** What it has in common with the other references of its `sharedGroup` (one maker's list, one scale, one day). */
  readonly sharedRelativeStandardUncertainty: number;
  readonly sharedGroup: string;
  /** `baseline`, `drawer-tip`: measured on this rig at `at_ms`, so the rig's part is what changed since. `rated`: absolute. */
  readonly from: 'baseline' | 'rated' | 'drawer-tip';
  readonly at_ms: number | null;
}

/** A gauge at the wand, water running. */
export interface WandReading {
  readonly setting_Pa: number;
  readonly wand_Pa: number;
  readonly standardUncertainty_Pa: number;
  /** Of setting the dial to it. */
  readonly settingStandardUncertainty_Pa: number;
  /** Which tip was on; null: nobody said, and the loss on the way is known the less for it. */
  readonly tip: string | null;
}

/**
 * The settings of a fitted curve as points, their ± taken apart again into flow and pressure. Catches of a re-set knob are averaged over
 * their setting (in flow over √pressure, weights as in the fit), so that the fit of several tips tests settings, not the repeats whose
 * scatter its weights come from.
 */
export function pointsOfCurve(curve: NozzleCurve): TipPoint[] {
  const groups = new Map<number, number[]>();
  curve.points.forEach((point, i) =>
    groups.set(point.setting_Pa, [...(groups.get(point.setting_Pa) ?? []), i]),
  );
  return [...groups.values()].map((indices) => {
    const weights = indices.map((i) => 1 / curve.points[i]!.standardUncertainty_m3_per_s ** 2);
    const total = weights.reduce((sum, weight) => sum + weight, 0);
    const averageOf = (of: (i: number) => number): number =>
      indices.reduce((sum, i, place) => sum + weights[place]! * of(i), 0) / total;
    const pressure_Pa = averageOf((i) => curve.points[i]!.pressure_Pa);
    const flow = averageOf((i) => curve.points[i]!.flow_m3_per_s / Math.sqrt(curve.points[i]!.pressure_Pa));
    const flow_m3_per_s = flow * Math.sqrt(pressure_Pa);
    const setting = averageOf((i) => curve.pointParts[i]!.setting ** 2) / indices.length;
    return {
      pressure_Pa,
      setting_Pa: curve.points[indices[0]!]!.setting_Pa,
      flow_m3_per_s,
      ownRelativeStandardUncertainty: Math.sqrt(Math.max(0, 1 / total - setting)) / flow_m3_per_s,
      pressureStandardUncertainty_Pa: (2 * pressure_Pa * Math.sqrt(setting)) / flow_m3_per_s,
    };
  });
}
