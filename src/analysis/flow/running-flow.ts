import { ordinaryLine } from '../../base/statistics/ordinary-line.ts';
import { expandUncertainty } from './catch-uncertainty.ts';
import { LOOK_BACK_s } from './estimate-mass-flow.ts';
import { LARGEST_PUSH_PER_FLOW_s, jetAllowance_kg_per_s, jetPush_kg } from './jet-allowance.ts';
import type { Wand } from './jet-allowance.ts';
import { lowFrequencyVariance } from './low-frequency-variance.ts';
import { outlierMask } from './outlier-mask.ts';
import { BlockedReadings } from './blocked-readings.ts';
import { rigReaders } from '../rigs/rig-readers.ts';
import type { StrokeDrift } from '../rigs/stroke-drift.ts';
import { FEWEST_READINGS, SHORTEST_WINDOW_s, frontTrim_s } from './steady-window.ts';

/** Looks are not taken more often than this: more would cost time and tell nothing new. */
export const LOOK_EVERY_s = 0.25;
/** When it is decided whether the target can be reached at all, and where a catch without hope stops (rule 11.1). */
export const FORECAST_AT_s = 15;
export const HOPELESS_STOPS_AT_s = 30;
/** With this certainty the catch in hand is noisier than the earlier ones, whose pooled noise is then not used. */
const NOISIER_THAN_POOLED = 4;

export interface PooledNoise {
  /** Σ P² and Σ ν of the earlier catches of the sweep, per reading as shown (see `MassFlowEstimate.wholeWindow`). */
  readonly sumOfSquares: number;
  readonly degreesOfFreedom: number;
}

export interface RunningFlowOptions {
  readonly start_s: number;
  readonly averagedReadings: number | null;
  readonly wand: Wand;
  /** Relative 95 % half-width at which the catch has enough. */
  readonly targetRelative: number;
  /** 30 s for the first catch of a sweep, 15 s later. */
  readonly minimum_s: number;
  readonly longest_s: number;
  readonly pooled: PooledNoise | null;
  /**
   * Level of the pail before the water, as shown: the jet's push is the step from there. Not given: the first reading, if it came
   * within 0.3 s of the start; else the largest push that momentum allows at 40 psi is assumed.
   */
  readonly base_kg?: number | null;
  /** The jet's push, if it is known better than from `base_kg`. */
  readonly jet_kg?: number | null;
  /** A flow that falls while it runs: the noise is that about a bent line. */
  readonly bends?: boolean;
  /** A hand pump's beat: the ± is that of whole strokes. */
  readonly strokePeriod_s?: number | null;
}

export interface RunningLook {
  readonly elapsed_s: number;
  readonly flow_kg_per_s: number | null;
  /** 95 %, own part with the jet allowance, kg/s. */
  readonly halfWidth_kg_per_s: number | null;
  readonly relativeHalfWidth: number | null;
  readonly enough: boolean;
  readonly because: 'enough' | 'longest-catch' | 'forecast-too-long' | null;
  readonly secondsLeft: number | null;
  /** 0..1, never falls; 1 = enough. */
  readonly progress: number;
  /** If the target is out of reach within the longest catch: the relative half-width 30 s will give; else null. */
  readonly forecastRelative: number | null;
}

/**
 * What: the flow of the catch in hand, its ± as the "enough" rule sees it, and when to stop.
 * Rule (measurement rules 11.1, 11.2, 11.14): the ± uses the largest S0 of all looks in the last 4 s, or the S0 pooled from the
 * sweep's earlier catches; the target is tested on the catch's own part only; not before `minimum_s`; if at 15 s the forecast says
 * that the target is out of reach within `longest_s`, the catch stops at 30 s.
 * Feed readings with `push` in order of time; ask with `look`, as often as liked.
 */
export class RunningFlow {
  private readonly readings = new BlockedReadings();
  private looks: { readonly at_s: number; readonly variance: number; readonly degreesOfFreedom: number }[] =
    [];
  private last: RunningLook;
  private lastAt_s = -Infinity;
  private hopeless: number | null = null;
  private decided = false;
  private spent: PooledNoise | null = null;
  private firstLevel_kg: number | null = null;
  private push_kg: number | null = null;

  constructor(private readonly options: RunningFlowOptions) {
    this.last = nothingYet();
  }

  push(time_s: number, mass_kg: number | null): void {
    if (mass_kg === null || !Number.isFinite(mass_kg)) return;
    if (this.firstLevel_kg === null && Math.abs(time_s - this.options.start_s) <= 0.3)
      this.firstLevel_kg = mass_kg;
    this.readings.push(time_s, mass_kg);
  }

  /** The jet's push as the last look had it, kg; null before one gave a flow. */
  get jet_kg(): number | null {
    return this.push_kg;
  }

  /** What this catch's noise is worth to the pool of the sweep, from the last look that gave a flow; null before one did. */
  evidence(): PooledNoise | null {
    return this.spent;
  }

  look(now_s: number): RunningLook {
    if (this.last.enough || now_s - this.lastAt_s < LOOK_EVERY_s) {
      return { ...this.last, elapsed_s: Math.max(0, now_s - this.options.start_s) };
    }
    this.lastAt_s = now_s;
    this.last = this.judged(Math.max(0, now_s - this.options.start_s), this.estimate(now_s));
    return this.last;
  }

  private estimate(now_s: number): Estimate | null {
    const { start_s, averagedReadings, wand, jet_kg, base_kg } = this.options;
    const from_s = start_s + frontTrim_s(averagedReadings, this.readings.period_s);
    const columns = this.readings.since(from_s);
    const n = columns.time_s.length;
    if (n < FEWEST_READINGS || columns.time_s[n - 1]! - from_s < SHORTEST_WINDOW_s) return null;
    const { keep } = outlierMask(columns.time_s, columns.mass_kg);
    const wanted = (_value: number, i: number): boolean => keep[i] === 1;
    const time_s = columns.time_s.filter(wanted);
    const line = ordinaryLine(time_s, columns.mass_kg.filter(wanted));
    const bent =
      this.options.bends === true ? rigReaders().bentNoise(time_s, columns.mass_kg.filter(wanted)) : null;
    const seen = bent ?? (line === null ? null : lowFrequencyVariance(time_s, line.residuals));
    if (line === null || seen === null || !(line.slope > 0)) return null;
    const strokes = this.strokes(from_s, columns);
    if (strokes === 'too-few') return null;

    this.looks = this.looks.filter((look) => look.at_s >= now_s - LOOK_BACK_s);
    this.looks.push({ at_s: now_s, ...seen });
    const noise = this.noise();
    this.spent = {
      sumOfSquares: seen.sumOfSquares * this.readings.readingsPerBlock,
      degreesOfFreedom: seen.degreesOfFreedom,
    };
    const base = base_kg ?? this.firstLevel_kg;
    const push_kg =
      jet_kg ??
      (base === null
        ? LARGEST_PUSH_PER_FLOW_s * line.slope
        : jetPush_kg({
            lineAtStart_kg: line.meanY + line.slope * (start_s - line.meanX),
            before_kg: base,
            massFlow_kg_per_s: line.slope,
            averagedReadings,
            period_s: this.readings.period_s,
          }));
    this.push_kg = push_kg;
    return {
      flow: strokes?.flow_kg_per_s ?? line.slope,
      typeA: strokes?.standardUncertainty_kg_per_s ?? Math.sqrt(noise.variance / line.sxx),
      degreesOfFreedom: strokes?.degreesOfFreedom ?? noise.degreesOfFreedom,
      // Strokes add up like a random walk: more of them help by their root only.
      shrinksBy: strokes === null ? 1.5 : 0.5,
      window_s: now_s - from_s,
      trim_s: from_s - start_s,
      jetAfter: (length_s) => jetAllowance_kg_per_s(push_kg, length_s, wand),
    };
  }

  private strokes(
    from_s: number,
    columns: { readonly time_s: Float64Array; readonly mass_kg: Float64Array },
  ): StrokeDrift | 'too-few' | null {
    const period_s = this.options.strokePeriod_s ?? null;
    if (period_s === null) return null;
    return rigReaders().strokesSoFar(columns, from_s, period_s) ?? 'too-few';
  }

  private noise(): { readonly variance: number; readonly degreesOfFreedom: number } {
    const largest = this.looks.reduce((a, b) => (b.variance > a.variance ? b : a));
    const { pooled } = this.options;
    if (pooled === null || !(pooled.degreesOfFreedom >= 3)) return largest;
    const variance = pooled.sumOfSquares / pooled.degreesOfFreedom / this.readings.readingsPerBlock;
    // A bump or a gust in this catch is this catch's own: what the earlier ones say doesn't hold for it.
    if (largest.variance > NOISIER_THAN_POOLED * variance) return largest;
    return { variance, degreesOfFreedom: pooled.degreesOfFreedom };
  }

  private judged(elapsed_s: number, estimate: Estimate | null): RunningLook {
    const { targetRelative, minimum_s, longest_s } = this.options;
    const atLongest = elapsed_s >= longest_s;
    if (estimate === null) {
      return {
        ...nothingYet(),
        elapsed_s,
        enough: atLongest,
        because: atLongest ? 'longest-catch' : null,
        progress: atLongest ? 1 : this.risen(elapsed_s / Math.max(minimum_s, FORECAST_AT_s)),
      };
    }
    const relativeAt = (length_s: number): number => relativeHalfWidth(estimate, length_s);
    const relative = relativeAt(estimate.window_s + estimate.trim_s);
    const reached = firstReached(relativeAt, targetRelative, Math.max(minimum_s, elapsed_s), longest_s);
    if (!this.decided && elapsed_s >= FORECAST_AT_s) {
      this.decided = true;
      if (reached === null) this.hopeless = relativeAt(HOPELESS_STOPS_AT_s);
    }
    const stopsAt_s =
      this.hopeless === null
        ? (reached ?? longest_s)
        : Math.min(Math.max(HOPELESS_STOPS_AT_s, minimum_s), longest_s);
    const because =
      elapsed_s >= minimum_s && relative <= targetRelative
        ? 'enough'
        : atLongest
          ? 'longest-catch'
          : this.hopeless !== null && elapsed_s >= stopsAt_s
            ? 'forecast-too-long'
            : null;
    return {
      elapsed_s,
      flow_kg_per_s: estimate.flow,
      halfWidth_kg_per_s: relative * estimate.flow,
      relativeHalfWidth: relative,
      enough: because !== null,
      because,
      secondsLeft: because === null ? Math.max(0, stopsAt_s - elapsed_s) : 0,
      progress: because === null ? this.risen(elapsed_s / stopsAt_s) : 1,
      forecastRelative: this.hopeless,
    };
  }

  private risen(progress: number): number {
    return Math.max(this.last.progress, Math.min(0.99, progress));
  }
}

interface Estimate {
  readonly flow: number;
  readonly typeA: number;
  readonly degreesOfFreedom: number;
  /** Power of the window with which the noise falls. */
  readonly shrinksBy: number;
  readonly window_s: number;
  readonly trim_s: number;
  readonly jetAfter: (length_s: number) => number;
}

/** Relative half-width a catch of `length_s` will have: noise falls as the window to the power 1.5, the jet's part by its own rule. */
function relativeHalfWidth(estimate: Estimate, length_s: number): number {
  const shrink = (estimate.window_s / Math.max(length_s - estimate.trim_s, 0.1)) ** estimate.shrinksBy;
  const combined = expandUncertainty([
    { standardUncertainty: estimate.typeA * shrink, degreesOfFreedom: estimate.degreesOfFreedom },
    { standardUncertainty: estimate.jetAfter(length_s), degreesOfFreedom: Infinity },
  ]);
  return combined.expandedUncertainty95 / estimate.flow;
}

/** Shortest length from `from_s` to `longest_s` that meets the target; null if none does. Half-widths never grow with length. */
function firstReached(
  relativeAt: (length_s: number) => number,
  target: number,
  from_s: number,
  longest_s: number,
): number | null {
  if (relativeAt(longest_s) > target) return null;
  let short = Math.min(from_s, longest_s);
  let long = longest_s;
  if (relativeAt(short) <= target) return short;
  while (long - short > 0.1) {
    const middle = (short + long) / 2;
    if (relativeAt(middle) <= target) long = middle;
    else short = middle;
  }
  return long;
}

function nothingYet(): RunningLook {
  return {
    elapsed_s: 0,
    flow_kg_per_s: null,
    halfWidth_kg_per_s: null,
    relativeHalfWidth: null,
    enough: false,
    because: null,
    secondsLeft: null,
    progress: 0,
    forecastRelative: null,
  };
}
