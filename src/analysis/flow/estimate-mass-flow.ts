import { ok, refused } from '../../base/outcome.ts';
import type { Outcome } from '../../base/outcome.ts';
import { findSteps, type Step } from '../../signal/catches/find-steps.ts';
import type { LowFrequencyVariance } from './low-frequency-variance.ts';
import { outlierMask } from './outlier-mask.ts';
import { steadiness, type Steadiness } from './steadiness.ts';
import { SHORTEST_WINDOW_s, steadyWindow } from './steady-window.ts';
import type { SteadyWindow, Trims } from './steady-window.ts';
import { steppedLine, withoutSteps } from './stepped-line.ts';

/** The variance kept is the largest of those seen in the last seconds: "enough" must not be a lucky moment (rule 11.1). */
export const LOOK_BACK_s = 4;
/** The same for the ± a catch keeps: by then the person has let go, up to 2 s after the signal, and the window has moved on. */
export const KEPT_LOOK_BACK_s = 1.5;
/**
 * Only catches shorter than this can have been ended by a lucky moment in a way that shows. Simulated, typical, at the moment "enough"
 * stops them (500 a cell): the whole window's S0 covers 95.4 %, the largest of 4 s 98.8 %; so a shorter look back is used, and from
 * 30 s on the whole window, so that the ± stays as narrow as it honestly can be.
 */
export const LOOK_BACK_BELOW_s = 30;
const LOOK_EVERY_s = 0.5;

/** One catch's mass flow with what its own readings say of its doubt; the jet and the shared parts are not in it. */
export interface MassFlowEstimate {
  readonly massFlow_kg_per_s: number;
  /** S0 used for the ±, kg² per reading: under 30 s of catch the largest of the looks of the last 1.5 s, else the whole window's. */
  readonly variance: number;
  /** S0 of the whole window, for pooling over catches. */
  readonly wholeWindow: LowFrequencyVariance;
  readonly degreesOfFreedom: number;
  /** Σ(t − t̄)² of the readings used, s². */
  readonly sxx_s2: number;
  /** √(variance / Sxx), kg/s. */
  readonly standardUncertainty_kg_per_s: number;
  readonly window: SteadyWindow;
  /** Mean time between the readings of the window, s. */
  readonly period_s: number;
  readonly used: number;
  readonly masked: number;
  /** More than 40 % would have been masked, so nothing was: the readings are no line. */
  readonly maskGaveUp: boolean;
  /** √ of the mean squared residual of the readings used, kg. */
  readonly residual_kg: number;
  /** Where something came to rest on the pail or moved away: the line was let jump there. */
  readonly steps: readonly Step[];
  /** Is it one steady flow? Null with too few readings to tell. */
  readonly steadiness: Steadiness | null;
  /** The line carried back to the start edge, kg: level before + the jet's push. */
  readonly lineAtStart_kg: number;
}

/**
 * What: mass flow of one catch: mask, least squares in the steady window (with a level of its own after each step), low-frequency bar (estimator R).
 * Source: measurement study, sections 2.1-2.2 and rule 11.1; RMSE within 1.03 of the Cramér-Rao bound in simulation.
 * Columns of the whole capture, times ascending, NaN where no mass was shown; `start_s`, `stop_s` refined edges.
 * Refused `no-steady-window` when the window is too short or no line is left.
 */
export function estimateMassFlow(
  time_s: ArrayLike<number>,
  mass_kg: ArrayLike<number>,
  count: number,
  start_s: number,
  stop_s: number,
  trims: Trims,
): Outcome<MassFlowEstimate> {
  const found = steadyWindow(time_s, mass_kg, count, start_s, stop_s, trims);
  if (!found.ok) return found;
  const window = found.value;
  const shown = readingsShown(time_s, mass_kg, window);
  const steps = findSteps(shown.time_s, shown.mass_kg, 0, shown.time_s.length, trims.step_kg ?? 0);
  const level = steps.length === 0 ? shown : withoutSteps(shown, steps);
  const mask = outlierMask(level.time_s, level.mass_kg);
  const used = selected(level, mask.keep);
  const line = used.time_s.length < 3 ? null : steppedLine(used.time_s, used.mass_kg, steps);
  if (line === null) return refused('no-steady-window');
  const wholeWindow = line.lowFrequency;

  const largest =
    stop_s - start_s < LOOK_BACK_BELOW_s
      ? largestOfRecentLooks(used.time_s, used.mass_kg, steps, wholeWindow)
      : wholeWindow;
  return ok({
    massFlow_kg_per_s: line.slope,
    variance: largest.variance,
    wholeWindow,
    degreesOfFreedom: largest.degreesOfFreedom,
    sxx_s2: line.sxx,
    standardUncertainty_kg_per_s: Math.sqrt(largest.variance / line.sxx),
    window,
    period_s: (time_s[window.end - 1]! - time_s[window.first]!) / (window.end - 1 - window.first),
    used: used.time_s.length,
    masked: mask.masked,
    maskGaveUp: mask.gaveUp,
    residual_kg: Math.sqrt(line.residualSumOfSquares / used.time_s.length),
    steps,
    steadiness: steadiness(used.time_s, line.residuals, line.slope, steps),
    lineAtStart_kg: line.meanY + line.slope * (start_s - line.meanX),
  });
}

interface Columns {
  readonly time_s: Float64Array;
  readonly mass_kg: Float64Array;
}

function readingsShown(time_s: ArrayLike<number>, mass_kg: ArrayLike<number>, window: SteadyWindow): Columns {
  const time = new Float64Array(window.end - window.first);
  const mass = new Float64Array(window.end - window.first);
  let n = 0;
  for (let i = window.first; i < window.end; i++) {
    if (!Number.isFinite(mass_kg[i]!)) continue;
    time[n] = time_s[i]!;
    mass[n++] = mass_kg[i]!;
  }
  return { time_s: time.subarray(0, n), mass_kg: mass.subarray(0, n) };
}

function selected(columns: Columns, keep: Uint8Array): Columns {
  const wanted = (_value: number, i: number): boolean => keep[i] === 1;
  return { time_s: columns.time_s.filter(wanted), mass_kg: columns.mass_kg.filter(wanted) };
}

/** S0 again with the window ended 0.5, 1 and 1.5 s earlier; the largest of all, which is never under the whole window's. */
function largestOfRecentLooks(
  time_s: Float64Array,
  mass_kg: Float64Array,
  steps: readonly Step[],
  wholeWindow: LowFrequencyVariance,
): LowFrequencyVariance {
  let largest = wholeWindow;
  const last_s = time_s[time_s.length - 1]!;
  let n = time_s.length;
  for (let back_s = LOOK_EVERY_s; back_s <= KEPT_LOOK_BACK_s; back_s += LOOK_EVERY_s) {
    while (n > 0 && time_s[n - 1]! > last_s - back_s) n--;
    if (n < 4 || time_s[n - 1]! - time_s[0]! < SHORTEST_WINDOW_s) break;
    const seen = steppedLine(time_s.subarray(0, n), mass_kg.subarray(0, n), steps);
    if (seen === null) break;
    if (seen.lowFrequency.variance > largest.variance) largest = seen.lowFrequency;
  }
  return largest;
}
