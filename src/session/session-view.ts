import type { AnalysedCatch, CurvePicture } from '../analysis/sweep/analysis.ts';
import type { Diagnosis, NoDiagnosis } from '../analysis/diagnosis/diagnosis.ts';
import type { RigResult } from '../analysis/sweep/rig-sweep.ts';
import type { Because } from '../base/because.ts';
import type { SeveralTips } from '../analysis/sweep/several-tips.ts';
import type { Routine } from '../records/sweep-setup.ts';
import type { Prompt } from './prompt.ts';

export interface RunningCatch {
  /** Its start: names the catch for a strike, also when it has closed meanwhile. */
  readonly start_s: number;
  readonly elapsed_s: number;
  readonly flow_m3_per_s: number | null;
  /** 95 % half-width (own part), as the enough rule sees it; null until there are readings enough. */
  readonly expanded_m3_per_s: number | null;
  readonly targetRelative: number;
  /** 0..1, 1 = enough. */
  readonly progress: number;
  readonly secondsLeft: number | null;
  readonly caught_kg: number;
}

export type SweepPhase =
  | 'ready'
  | 'setting'
  | 'maybe'
  | 'filling'
  | 'shut-off'
  | 'settling'
  | 'emptying'
  | 'paused'
  | 'waiting-for-instrument'
  | 'done';

export interface PlannedSetting {
  readonly setting_Pa: number;
  readonly wanted: number;
  /** Good catches so far. */
  readonly done: number;
}

export interface CatchView extends AnalysedCatch {
  /** Index into `Analysis.catches`. */
  readonly index: number;
  readonly struckReason: string | null;
  /** In a routine: the nozzle it came from, typed text, untrusted. */
  readonly label?: string;
}

/** A sweep as it stands, plain data, made anew at each look. Times in seconds since the sweep's start. */
export interface SessionView {
  readonly phase: SweepPhase;
  readonly prompt: Prompt;
  /** What comes after this catch, for the quiet second line; null at the end. */
  readonly nextPrompt: Prompt | null;
  readonly settingNow_Pa: number | null;
  /** 1-based number of the catch in hand at this setting. */
  readonly ordinal: number;
  readonly running: RunningCatch | null;
  readonly plan: readonly PlannedSetting[];
  readonly catches: readonly CatchView[];
  readonly picture: CurvePicture | null;
  /** Why there is no curve yet. */
  readonly pictureBecause: Because | null;
  readonly warnings: readonly Because[];
  /** Load of the pail and room in it; a sprayer on the scale: water left in its tank, and what of that may be sprayed. */
  readonly pail: { readonly level_kg: number | null; readonly room_kg: number };
  /** What the rig's kind adds to the catches; absent or null for a held pressure into a pail. */
  readonly rig?: RigResult | null;
  /** What the curve so far says of tip and rig, or why nothing can be said yet; null before the first catch. */
  readonly diagnosis?: Diagnosis | NoDiagnosis | null;
  /** Several tips, or positions of a boom, in turn; absent for an ordinary sweep. */
  readonly routine?: RoutineView;
}

export interface RoutineView {
  readonly kind: Routine['kind'];
  /** The nozzle whose turn it is; null before the first and after the last. */
  readonly label: string | null;
  /** In the order of the set-up. Labels are typed text, untrusted. */
  readonly plan: readonly { readonly label: string; readonly wanted: number; readonly done: number }[];
  /** What is told of them so far; null while there are too few catches. */
  readonly several: SeveralTips | null;
}
