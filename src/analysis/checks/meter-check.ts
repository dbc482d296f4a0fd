import type { Warning } from '../../base/because.ts';
import { ok, refused, type Outcome } from '../../base/outcome.ts';

/** One catch with a flow known from elsewhere (scale, or a known volume and a time) and the meter's frequency from edges. */
export interface MeterPoint {
  readonly flow_m3_per_s: number;
  /** Of this catch alone; what all share is the reference's and is added once. */
  readonly flowStandardUncertainty_m3_per_s: number;
  readonly frequency_Hz: number;
  readonly frequencyStandardUncertainty_Hz: number;
}

export interface MeterCheckResult {
  /** a of f = aQ − b. */
  readonly pulsesPerCubicMetre: number;
  readonly pulsesPerCubicMetreStandardUncertainty: number;
  /** b; null after a check at one flow, where it can't be told. */
  readonly offset_Hz: number | null;
  readonly offsetStandardUncertainty_Hz: number | null;
  /** Of a and b. */
  readonly correlation: number | null;
  readonly referenceRelativeStandardUncertainty: number;
  readonly lowestFlow_m3_per_s: number;
  readonly highestFlow_m3_per_s: number;
  readonly points: number;
  /** χ² over its degrees of freedom; above 1 the ± were widened by its root. Null where nothing is left over. */
  readonly reducedChiSquare: number | null;
  readonly warnings: readonly Warning[];
}

/** Flows nearer than this are one flow: the offset would be a guess carried far. Judgement, no source. */
const LEAST_SPREAD = 1.3;
/** More scatter than this about the line is no straight meter, or a reference that wandered (χ² over df). */
const NOT_STRAIGHT = 6;

/**
 * What: two-parameter calibration f = aQ − b of a pulse meter by weighted least squares with effective variances u_f² + a²·u_Q².
 * Purpose: one factor alone on a meter with an offset of 1 Hz at 450 pulses a litre is wrong by −15 % at 0.5 and +8 % at 2 L/min
 * (measurement study 8). Formula: weighted line about the weighted means; covariance (1/Σw + Q̄²/Sxx …), widened by √(χ²/df) where above 1.
 * Source of the line: standard weighted least squares, as in GUM (JCGM 100:2008) H.3 with equal weights.
 * Frequencies must be from edges (`pulseFlow`), never pulses over gate time.
 * Refused: `meter-one-flow` under two flows apart by 1.3; `meter-factor-not-positive` (a pulse factor of zero or less); RangeError for
 * an uncertainty that is not positive.
 */
export function checkMeter(
  points: readonly MeterPoint[],
  referenceRelativeStandardUncertainty: number,
): Outcome<MeterCheckResult> {
  const flows = points.map((point) => point.flow_m3_per_s);
  const lowest = Math.min(...flows);
  const highest = Math.max(...flows);
  if (points.length < 2 || !(highest >= LEAST_SPREAD * lowest)) {
    return refused('meter-one-flow', { points: points.length });
  }
  let slope = points.reduce((sum, p) => sum + p.frequency_Hz, 0) / flows.reduce((sum, q) => sum + q, 0);
  let line = weightedLine(points, slope);
  // The weights need the slope and the slope the weights: it settles at once, the weights hardly move.
  for (let i = 0; i < 4; i++) {
    slope = line.slope;
    line = weightedLine(points, slope);
  }
  if (!(line.slope > 0)) return refused('meter-factor-not-positive');
  const degreesOfFreedom = points.length - 2;
  const reducedChiSquare = degreesOfFreedom > 0 ? line.chiSquare / degreesOfFreedom : null;
  const widen = Math.sqrt(Math.max(1, reducedChiSquare ?? 1));
  const slopeU = widen / Math.sqrt(line.sxx);
  const interceptU = widen * Math.sqrt(1 / line.weight + line.meanX ** 2 / line.sxx);
  return ok({
    pulsesPerCubicMetre: line.slope,
    pulsesPerCubicMetreStandardUncertainty: slopeU,
    offset_Hz: line.slope * line.meanX - line.meanY,
    offsetStandardUncertainty_Hz: interceptU,
    // cov(a, intercept) = −x̄/Sxx and b = −intercept.
    correlation: (widen * widen * line.meanX) / line.sxx / (slopeU * interceptU),
    referenceRelativeStandardUncertainty,
    lowestFlow_m3_per_s: lowest,
    highestFlow_m3_per_s: highest,
    points: points.length,
    reducedChiSquare,
    warnings: (reducedChiSquare ?? 0) > NOT_STRAIGHT ? ['meter-not-straight'] : [],
  });
}

/**
 * One factor from catches at one flow: a = f/Q, the offset unknown. Good at that flow only, and it says so (`meter-one-flow`).
 * Refused: `meter-factor-not-positive`, `no-catches`.
 */
export function checkMeterAtOneFlow(
  points: readonly MeterPoint[],
  referenceRelativeStandardUncertainty: number,
): Outcome<MeterCheckResult> {
  if (points.length === 0) return refused('no-catches');
  let weight = 0;
  let sum = 0;
  for (const p of points) {
    if (!(p.frequency_Hz > 0 && p.flow_m3_per_s > 0)) return refused('meter-factor-not-positive');
    const factor = p.frequency_Hz / p.flow_m3_per_s;
    const u =
      factor *
      Math.hypot(
        p.frequencyStandardUncertainty_Hz / p.frequency_Hz,
        p.flowStandardUncertainty_m3_per_s / p.flow_m3_per_s,
      );
    weight += 1 / u ** 2;
    sum += factor / u ** 2;
  }
  const flows = points.map((p) => p.flow_m3_per_s);
  return ok({
    pulsesPerCubicMetre: sum / weight,
    pulsesPerCubicMetreStandardUncertainty: 1 / Math.sqrt(weight),
    offset_Hz: null,
    offsetStandardUncertainty_Hz: null,
    correlation: null,
    referenceRelativeStandardUncertainty,
    lowestFlow_m3_per_s: Math.min(...flows),
    highestFlow_m3_per_s: Math.max(...flows),
    points: points.length,
    reducedChiSquare: null,
    warnings: ['meter-one-flow'],
  });
}

interface WeightedLine {
  readonly slope: number;
  readonly meanX: number;
  readonly meanY: number;
  readonly sxx: number;
  readonly weight: number;
  readonly chiSquare: number;
}

function weightedLine(points: readonly MeterPoint[], about: number): WeightedLine {
  const weights = points.map((p) => {
    const u = Math.hypot(p.frequencyStandardUncertainty_Hz, about * p.flowStandardUncertainty_m3_per_s);
    if (!(u > 0)) throw new RangeError('a positive uncertainty is needed');
    return 1 / u ** 2;
  });
  const weight = weights.reduce((sum, w) => sum + w, 0);
  const mean = (of: (p: MeterPoint) => number): number =>
    points.reduce((sum, p, i) => sum + weights[i]! * of(p), 0) / weight;
  const meanX = mean((p) => p.flow_m3_per_s);
  const meanY = mean((p) => p.frequency_Hz);
  let sxx = 0;
  let sxy = 0;
  points.forEach((p, i) => {
    sxx += weights[i]! * (p.flow_m3_per_s - meanX) ** 2;
    sxy += weights[i]! * (p.flow_m3_per_s - meanX) * (p.frequency_Hz - meanY);
  });
  const slope = sxy / sxx;
  const chiSquare = points.reduce(
    (sum, p, i) => sum + weights[i]! * (p.frequency_Hz - meanY - slope * (p.flow_m3_per_s - meanX)) ** 2,
    0,
  );
  return { slope, meanX, meanY, sxx, weight, chiSquare };
}
