import type { Warning } from '../../base/because.ts';
import { ok, refused, type Outcome } from '../../base/outcome.ts';
import { tQuantile } from '../../base/statistics/distributions.ts';
import { lackOfFit, type LackOfFit } from '../../base/statistics/lack-of-fit.ts';
import { combineUncertainty } from '../../base/statistics/welch-satterthwaite.ts';
import type { QuietLevel } from './quiet-level.ts';
import type { ReferenceMass } from './scale-reference.ts';
import { explainingTilt_deg } from './tilt.ts';

export interface ScaleCheckInput {
  readonly from: 'mass-pieces' | 'water-volume';
  /** Nothing put on (or the empty vessel): before the loads, and after them if it was waited for. */
  readonly zeros: readonly QuietLevel[];
  readonly loads: readonly { readonly reference: ReferenceMass; readonly level: QuietLevel }[];
  readonly step_kg: number | null;
}

export type ScaleVerdict =
  /** What it shows and what is on differ by no more than a step. */
  | 'agrees'
  /** By more than a step and more than this check's own ±. */
  | 'off'
  /** By more than a step, but this check is not sure enough to say so. */
  | 'cannot-tell';

export interface ScaleCheckResult {
  readonly from: 'mass-pieces' | 'water-volume';
  /** True over shown mass. */
  readonly factor: number;
  readonly relativeStandardUncertainty: number;
  /** Of it, what the levels are worth; the rest is the reference. A later check with the same reference shares the rest. */
  readonly ownRelativeStandardUncertainty: number;
  readonly relativeExpandedUncertainty95: number;
  readonly degreesOfFreedom: number;
  readonly verdict: ScaleVerdict;
  /** Shown minus true at the largest load, kg. */
  readonly error_kg: number;
  readonly loads: readonly {
    readonly reference_kg: number;
    readonly shown_kg: number;
    readonly residual_kg: number;
    readonly standardUncertainty_kg: number;
  }[];
  /** Straight line through zero against the loads; null for one load. */
  readonly straightness:
    (LackOfFit & { readonly largestResidual_kg: number; readonly curved: boolean }) | null;
  /** Zero after the loads minus zero before; null if it was not waited for. */
  readonly zeroReturn_kg: number | null;
  readonly explainingTilt_deg: number | null;
  readonly step_kg: number | null;
  readonly warnings: readonly Warning[];
}

/** Beyond these a scale is not off, the number or its unit is. */
const BELIEVABLE = [0.5, 2] as const;
const COARSE_STEP_KG = 0.005;
const CURVED_BELOW_P = 0.01;

/**
 * What: factor true/shown of a scale from one to three known loads above its zero, by weighted least squares through zero.
 * Formula: c = Σwxy/Σwx², w = 1/u² of a load's own level; its variance uses the whole covariance, for the zero is common to all loads.
 * The reference's doubt is taken as common too (pieces of one set, one jug). Straightness: χ² of the residuals over own and reference doubts.
 * A scale that is curved, or whose zero did not come back, keeps its factor with that much more doubt (rectangular).
 * Refused: `check-scale-absurd` when true over shown is outside 0.5-2. Errors: RangeError without a zero or a load.
 */
export function checkScale(input: ScaleCheckInput): Outcome<ScaleCheckResult> {
  const { zeros, loads, step_kg } = input;
  if (zeros.length === 0 || loads.length === 0) throw new RangeError('a check needs a zero and a load');
  const zero_kg = zeros.reduce((sum, { mean_kg }) => sum + mean_kg, 0) / zeros.length;
  const zeroReturn_kg = zeros.length > 1 ? zeros.at(-1)!.mean_kg - zeros[0]!.mean_kg : null;
  const zeroU = Math.hypot(
    Math.max(...zeros.map((zero) => zero.standardUncertainty_kg)),
    (zeroReturn_kg ?? 0) / 2 / Math.sqrt(3),
  );
  const x = loads.map(({ level }) => level.mean_kg - zero_kg);
  const y = loads.map(({ reference }) => reference.mass_kg);
  const levelU = loads.map(({ level }) => Math.max(level.standardUncertainty_kg, 1e-9));
  const weights = levelU.map((u) => 1 / u ** 2);
  const xx = x.reduce((sum, xi, i) => sum + weights[i]! * xi * xi, 0);
  const factor = x.reduce((sum, xi, i) => sum + weights[i]! * xi * y[i]!, 0) / xx;
  if (!(factor > BELIEVABLE[0] && factor < BELIEVABLE[1])) {
    return refused('check-scale-absurd', { shown_kg: x.at(-1)!, reference_kg: y.at(-1)! });
  }
  const largest = x.indexOf(Math.max(...x));
  const load_kg = x[largest]!;

  const residuals = y.map((yi, i) => yi - factor * x[i]!);
  const pointU = loads.map(({ reference }, i) =>
    Math.hypot(levelU[i]!, zeroU, reference.standardUncertainty_kg),
  );
  const fit = lackOfFit(residuals, pointU, 1);
  const largestResidual_kg = Math.max(...residuals.map(Math.abs));
  const curved = fit !== null && fit.pValue < CURVED_BELOW_P && largestResidual_kg > (step_kg ?? 0) / 2;
  const straightness = fit === null ? null : { ...fit, largestResidual_kg, curved };

  // d factor / d zero: all loads shift together.
  const zeroSensitivity = Math.abs(factor * x.reduce((sum, xi, i) => sum + weights[i]! * xi, 0)) / xx;
  const ofLevels = factor / Math.sqrt(xx);
  const ofZero = zeroSensitivity * zeroU;
  const ofCurve = curved ? largestResidual_kg / load_kg / Math.sqrt(3) : 0;
  const own = Math.hypot(ofLevels, ofZero, ofCurve) / factor;
  const ofReference = Math.max(
    ...loads.map(({ reference }) => reference.standardUncertainty_kg / reference.mass_kg),
  );
  const levelDf = Math.min(...loads.map(({ level }) => level.degreesOfFreedom));
  const combined = combineUncertainty([
    { standardUncertainty: ofLevels / factor, degreesOfFreedom: levelDf },
    {
      standardUncertainty: ofZero / factor,
      degreesOfFreedom: Math.min(...zeros.map((z) => z.degreesOfFreedom)),
    },
    { standardUncertainty: Math.hypot(ofCurve / factor, ofReference), degreesOfFreedom: 1e6 },
  ]);
  const degreesOfFreedom = Math.min(1e6, combined.degreesOfFreedom);
  const expanded = tQuantile(0.975, degreesOfFreedom) * combined.standardUncertainty;

  const error_kg = load_kg * (1 - factor);
  const withinStep = Math.abs(error_kg) <= (step_kg ?? 0);
  const withinU = Math.abs(error_kg) <= expanded * load_kg;
  // A fine display has no step to agree within: there its own ± decides.
  const verdict: ScaleVerdict =
    withinStep || (withinU && expanded < 1e-3) ? 'agrees' : withinU ? 'cannot-tell' : 'off';
  const tilt = verdict === 'off' ? explainingTilt_deg(1 - 1 / factor) : null;
  const warnings: Warning[] = [];
  const levels = [...zeros, ...loads.map(({ level }) => level)];
  // A converter without steps always flickers: one that never does holds its number.
  if ((step_kg ?? 0) === 0 && levels.every((level) => level.identical)) warnings.push('display-froze');
  if (verdict === 'off') warnings.push('scale-off');
  if (tilt !== null) warnings.push('scale-perhaps-tilted');
  if (curved) warnings.push('scale-not-linear');
  if (zeroReturn_kg !== null && returnsNot(zeroReturn_kg, zeros, step_kg ?? 0))
    warnings.push('zero-did-not-return');
  if (verdict === 'cannot-tell') warnings.push('check-reference-poor');
  if ((step_kg ?? 0) >= COARSE_STEP_KG * (1 - 1e-9)) warnings.push('coarse-steps');
  return ok({
    from: input.from,
    factor,
    relativeStandardUncertainty: combined.standardUncertainty,
    ownRelativeStandardUncertainty: own,
    relativeExpandedUncertainty95: expanded,
    degreesOfFreedom,
    verdict,
    error_kg,
    loads: loads.map(({ reference }, i) => ({
      reference_kg: reference.mass_kg,
      shown_kg: x[i]!,
      residual_kg: residuals[i]!,
      standardUncertainty_kg: pointU[i]!,
    })),
    straightness,
    zeroReturn_kg,
    explainingTilt_deg: tilt,
    step_kg,
    warnings,
  });
}

function returnsNot(moved_kg: number, zeros: readonly QuietLevel[], step_kg: number): boolean {
  const u = Math.hypot(zeros[0]!.standardUncertainty_kg, zeros.at(-1)!.standardUncertainty_kg);
  return Math.abs(moved_kg) > Math.max(step_kg * (1 + 1e-9), 2 * u);
}
