import type { CaptureHeader } from '../../signal/captures/header.ts';
import { buoyancyFactor } from '../flow/buoyancy.ts';
import { MOST_DEGREES_OF_FREEDOM } from '../flow/catch-uncertainty.ts';
import type { SharedPart } from './budget.ts';

/** A check made during or after the capture, as its mark tells it. */
export interface LaterScaleCheck {
  /** True over shown in terms of mass pieces (a factor found with water, less the air's buoyancy). */
  readonly factor: number;
  readonly relativeStandardUncertainty: number;
  /** The person wants it applied; counts only where no check was made before. */
  readonly corrects: boolean;
}

export interface ScaleFactorOfCapture {
  /** What the shown mass is multiplied by, beside buoyancy. */
  readonly applied: number;
  readonly parts: readonly SharedPart[];
  /** Before and after differ by more than both are worth. */
  readonly drifted: boolean;
}

/**
 * What the checks of a capture make of its scale. Checked before: that factor stands, and the largest difference of a later check is
 * carried whole (`scale-drift`, rectangular: nobody knows when it moved). Checked only afterwards: that check is the factor where the
 * person wants it applied; where not, what it found is carried as doubt beside its own ±. So is what a check before found of a scale that
 * was left as it is (`scaleFactorFound`), and drift is counted from there.
 */
export function scaleFactorOf(
  header: CaptureHeader,
  later: readonly LaterScaleCheck[],
  waterDensity_kg_per_m3: number,
): ScaleFactorOfCapture {
  const { scaleFactor, scaleFactorFrom: from, scaleFactorRelativeStandardUncertainty: u } = header;
  const before = isScaleChecked(header);
  const first = before ? null : (later[0] ?? null);
  const others = before ? later : later.slice(1);
  const applied = scaleFactor ?? (first?.corrects === true ? first.factor : 1);
  const left = scaleFactor === undefined ? (header.scaleFactorFound ?? null) : null;
  const shown = first !== null ? worth(first) : left === null ? (u ?? null) : Math.hypot(u ?? 0, left - 1);
  // A factor found with water holds the air already; the marks do not.
  const air = from === 'water-volume' ? buoyancyFactor('mass-pieces', waterDensity_kg_per_m3) : 1;
  const base = first?.factor ?? left ?? applied / air;
  const baseU = first?.relativeStandardUncertainty ?? u ?? 0;
  let drift = 0;
  let drifted = false;
  for (const check of others) {
    const moved = check.factor / base - 1;
    if (Math.abs(moved) > 2 * Math.hypot(baseU, check.relativeStandardUncertainty)) drifted = true;
    if (Math.abs(moved) > Math.abs(drift)) drift = moved;
  }
  const driftU = Math.abs(drift) / Math.sqrt(3);
  const parts: SharedPart[] = [];
  if (shown !== null) parts.push(part('scale-factor', applied, shown, 'normal'));
  if (others.length > 0) parts.push(part('scale-drift', drift, driftU, 'rectangular'));
  return { applied, parts, drifted };
}

/** Somebody has held the scale against something known before the capture began. */
export function isScaleChecked(header: CaptureHeader): boolean {
  const { scaleFactor, scaleFactorFrom: from, scaleFactorRelativeStandardUncertainty: u } = header;
  const isFound = scaleFactor !== undefined || header.scaleFactorFound !== undefined;
  return isFound || u !== undefined || (from !== undefined && from !== 'maker');
}

/** Left as it is: what was found and not taken off is carried beside the check's own ± (root sum of squares). */
function worth(check: LaterScaleCheck): number {
  const left = check.corrects ? 0 : check.factor - 1;
  return Math.hypot(check.relativeStandardUncertainty, left);
}

function part(
  input: 'scale-factor' | 'scale-drift',
  value: number,
  relative: number,
  distribution: 'normal' | 'rectangular',
): SharedPart {
  return {
    input,
    value,
    unit: '1',
    standardUncertainty: relative,
    distribution,
    degreesOfFreedom: MOST_DEGREES_OF_FREEDOM,
    relative,
  };
}
