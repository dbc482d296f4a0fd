import type { Absence, Warning } from '../../base/because.ts';

/** Two flows of the same pressure, one over the other. Relative; intervals 95 %. */
export interface Ratio {
  /** 1 = alike. */
  readonly ratio: number;
  readonly relativeStandardUncertainty: number;
  readonly degreesOfFreedom: number;
  /** Half-width of the 95 % interval of `ratio` (on the logarithm, so symmetric as a factor). */
  readonly expandedUncertainty95: number;
  /** `different`: 1 lies outside the interval. Else: no difference larger than `largestDifference` (relative). */
  readonly verdict: 'different' | 'none-seen';
  /** The end of the interval farther from 1, as a relative difference: "no difference larger than 1.2 %". */
  readonly largestDifference: number;
}

/** What two tips were not measured alike in; each costs something in the ± or refuses the comparison. */
export type NotAlike =
  'another-rig' | 'another-instrument' | 'another-water' | 'another-day' | 'another-pressure-source';

export interface TipAgainstTip {
  /** Keys of the two in the order given: ratio = `tip` over `against`. */
  readonly tip: string;
  readonly against: string;
  readonly compared: Ratio | null;
  readonly comparedBecause: Absence | null;
  readonly notAlike: readonly NotAlike[];
  /** At pressures that both reach: ratio of the setting means there and its 95 % half-width. */
  readonly at: readonly {
    readonly pressure_Pa: number;
    readonly ratio: number;
    readonly expandedUncertainty95: number;
  }[];
  readonly warnings: readonly Warning[];
}

/** Several of a set (a boom's positions, a bag of tips), each against the mean of all. */
export interface SetCompared {
  readonly members: readonly {
    readonly label: string;
    readonly catches: number;
    readonly flow_m3_per_s: number;
    readonly expandedUncertainty95_m3_per_s: number;
    readonly againstMean: Ratio;
    /** Whole interval inside the habit's limit, outside it, or astride. */
    readonly habit: 'within' | 'outside' | 'cannot-tell';
  }[];
  readonly mean_m3_per_s: number;
  /** Standard deviation over mean, of the members' own means. */
  readonly coefficientOfVariation: number;
  /** The same with what the catches alone would scatter taken off (never below 0). */
  readonly coefficientOfVariationOfTips: number;
  readonly habitLimit: number;
  /** Groups of labels that can't be told apart at 95 % from each other's neighbour, highest flow first. */
  readonly ties: readonly (readonly string[])[];
  /** First position again at the end over its first catches: has the rig moved meanwhile? Null: not repeated. */
  readonly repeat: Ratio | null;
  readonly warnings: readonly Warning[];
}
