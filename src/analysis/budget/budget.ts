/** Where a doubt comes from. `web/wording` holds a name for each, and what would make it smaller. */
export const budgetInputs = [
  'scatter-of-readings',
  'jet-push',
  'hose-pull',
  'fading-push',
  'hose-swelling',
  'swelling-and-steps',
  'display-steps',
  'water-temperature',
  'air-density',
  'device-clock',
  'host-clock',
  'scale-factor',
  'scale-drift',
  'meter-factor',
  'meter-reference',
  'pulses',
  'whole-strokes',
  'thumb',
  'mark-reading',
  'pail-marks',
  'catches',
  'setting',
  'pressure-reading',
  'repeats',
  'spray-missed',
  'unchecked-scale',
  'unchecked-meter',
] as const;
export type BudgetInput = (typeof budgetInputs)[number];

/** How the doubt of an input is spread: `scatter` was seen (Type A), the others are stated (Type B); of `unknown` nobody can say. */
export type Distribution = 'scatter' | 'normal' | 'rectangular' | 'one-sided' | 'unknown';

/** `own`: this catch alone; `shared`: the same error in every catch of the capture, so it cancels in ratios. */
export type Scope = 'own' | 'shared';

/** One input of a measurement, as a JCGM 100 budget lists it. SI; `unit` names the unit of value and standard uncertainty. */
export interface BudgetLine {
  readonly input: BudgetInput;
  readonly value: number | null;
  readonly unit: string;
  readonly standardUncertainty: number;
  readonly distribution: Distribution;
  /** Change of the result for a change of the input, result's unit per `unit`; for shared inputs its size without the sign. */
  readonly sensitivity: number;
  /** At most 10⁶, which stands for "known". */
  readonly degreesOfFreedom: number;
  readonly scope: Scope;
  /** |sensitivity|·u, in the result's unit. */
  readonly contribution: number;
  /** False: listed because it can be there, but nobody can say how much; not in the combined value. */
  readonly included: boolean;
}

/** What can be done better next time. `web/wording` holds the sentence. */
export const budgetHelps = [
  'guide-wand',
  'measure-water',
  'longer-catch',
  'three-catches',
  'twice-the-catches',
  'pressure-sensor',
  'dial-at-zero',
  'clock-check',
] as const;

export interface BudgetHelp {
  readonly help: (typeof budgetHelps)[number];
  /** The input that gains most by it. */
  readonly acts: BudgetInput;
  /** Seconds of the catch, number of catches a setting, Pa of the sensor: as `help` says; null where there is none. */
  readonly amount: number | null;
  /** What the whole ± would then be, in the result's unit. */
  readonly expandedUncertainty95: number;
}

/** What a budget is made for: a catch's flow (m³/s), k (m³/s/√Pa), or measured over rated flow (1). */
export type BudgetResult = 'flow' | 'nozzle-constant' | 'ratio-to-rated';

/** JCGM 100: the result, its inputs, and what they come to together. Everything finite. */
export interface Budget {
  readonly result: BudgetResult;
  readonly value: number;
  readonly unit: string;
  readonly lines: readonly BudgetLine[];
  /** Root sum of squares of the own, and of the shared contributions. */
  readonly ownStandardUncertainty: number;
  readonly sharedStandardUncertainty: number;
  /** Root sum of squares of all contributions that are included. */
  readonly standardUncertainty: number;
  /** Welch-Satterthwaite, at most 10⁶. */
  readonly degreesOfFreedom: number;
  /** t(0.975, degrees of freedom). */
  readonly coverageFactor: number;
  readonly expandedUncertainty95: number;
  /** What would make it smaller, best first, worked out from the lines; only what takes off a twentieth and more. */
  readonly helps: readonly BudgetHelp[];
}

/** Of a curve; null where there is none. */
export interface CurveBudgets {
  readonly nozzleConstant: Budget | null;
  /** Measured over rated flow, with the dial's shared offset (rule 11.4 b). */
  readonly ratioToRated: Budget | null;
}

/** Beside the documented analysis, not in it: `catches[i]` is of `analysis.catches[i]`, null where there is no flow. */
export interface CaptureBudgets extends CurveBudgets {
  readonly catches: readonly (Budget | null)[];
}

/**
 * A doubt that all catches of a capture share, before it is known how large a flow it falls on.
 * `relative`: what it does to any flow, as a fraction of the flow (one standard uncertainty).
 */
export interface SharedPart {
  readonly input: BudgetInput;
  readonly value: number | null;
  readonly unit: string;
  readonly standardUncertainty: number;
  readonly distribution: Distribution;
  readonly degreesOfFreedom: number;
  readonly relative: number;
}

/** Root sum of squares: the relative standard uncertainty that all catches share. */
export function relativeOf(parts: readonly SharedPart[]): number {
  return Math.hypot(...parts.map((part) => part.relative));
}
