import type { Absence, Warning } from '../../base/because.ts';
import type { RigCheckKind } from './evidence.ts';

/** Causes as the documented analysis prints them. */
export const causes = [
  'no fault shown',
  'worn',
  'restricted',
  'leaking',
  'pump-limited',
  'threshold-or-dial-high',
  'dial-low',
] as const;
export type Cause = (typeof causes)[number];

/** `finding` of the documented analysis, to the letter. */
export interface Finding {
  readonly cause: Cause;
  /** The nearest other fault within 4. */
  readonly orElse: Cause | null;
  /** False with a cause: none of the causes we know. */
  readonly fits: boolean;
  readonly evidence: { readonly aicc: Readonly<Record<Cause, number>>; readonly gain: number };
}

/** What `earlierFinding` says of a sweep that none of the causes we know explains: its nearest cause was not found. */
export const NONE_KNOWN = 'none known';

/** A finding as the next sweep's `earlierFinding`. */
export function asEarlier({ cause, fits }: Finding): string {
  return fits ? cause : NONE_KNOWN;
}

/** The finest word that the evidence allows: a rig check may tell a dial that reads high from a check valve. */
export type FinerCause =
  Exclude<Cause, 'threshold-or-dial-high'> | 'dial-high' | 'check-valve' | 'dial-high-or-check-valve';

/** What would settle it, by itself and in a few minutes where it can be; the first is the one to do next. */
export type SettlingTest =
  | RigCheckKind
  | 'second-sweep'
  | 'take-a-baseline'
  | 'stamp-or-baseline'
  | 'measure-the-reference-again'
  | 'check-the-meter'
  | 'check-the-scale'
  | 'another-tip'
  | 'is-this-the-tip'
  | 'more-catches';

/** What shows it on the curve: the setting where it stands farthest from what a sound tip gives, or a piece of the curve. */
export interface CurveMark {
  readonly kind: 'whole-curve' | 'from-here-up' | 'from-here-down' | 'at';
  readonly pressure_Pa: number;
  readonly expectedFlow_m3_per_s: number;
  readonly flow_m3_per_s: number;
}

/** How large it is, with the half-width of its 95 % interval. */
export interface FaultSize {
  /** k over the reference (1 = as it was); leak at the highest setting over the reference's flow there; Pa. */
  readonly of: 'constant-ratio' | 'leak-share' | 'pump-pressure_Pa' | 'offset_Pa';
  readonly value: number;
  readonly expandedUncertainty95: number;
}

/** What a sensor says of the dial and the pump behind it, by the pressures that were set and those that were read. */
export interface DialAgainstSensor {
  readonly dial: 'agrees' | 'reads-high' | 'reads-low';
  /** Dial less sensor, mean over the settings that the pressure follows; half-width with what the sensor's readings share. */
  readonly difference_Pa: number;
  readonly differenceExpandedUncertainty95_Pa: number;
  /** The pressure follows the dial no further: what it stays at, from which setting on. Null: not shown. */
  readonly ceiling: {
    readonly pressure_Pa: number;
    readonly expandedUncertainty95_Pa: number;
    readonly from_Pa: number;
    readonly gain: number;
  } | null;
}

/** Everything that is to be said of a finding beside its documented form. Plain data. */
export interface Diagnosis {
  readonly finding: Finding;
  /** What to say; null: the named cause does not fit, none of the causes we know. */
  readonly said: FinerCause | null;
  readonly orElse: FinerCause | null;
  readonly reference: {
    readonly nozzleConstant_m3_per_s_per_sqrtPa: number;
    readonly relativeStandardUncertainty: number;
    /** `told`: a header named it without saying where it is from. */
    readonly from: 'baseline' | 'rated' | 'drawer-tip' | 'told';
  };
  readonly gate: number;
  /**
   * Relative change of the whole curve (wear, restriction) that this sweep would have named at even odds, reference included: what "no
   * fault shown" is worth. Absent in diagnoses made before it was told.
   */
  readonly smallestChangeNamed?: number;
  /** The flow was held against pressures that a sensor read: then "dial" means that sensor. Absent: against the dial. */
  readonly pressureMeasured?: true;
  /** Absent: no sensor, or too few settings of the dial. */
  readonly dialAgainstSensor?: DialAgainstSensor;
  readonly size: FaultSize | null;
  /** The curve that the named cause gives, at the pressures of the curve's picture; empty: no fault shown. */
  readonly modelFlow_m3_per_s: readonly number[];
  readonly marks: readonly CurveMark[];
  readonly settledBy: readonly SettlingTest[];
  /** A first finding says "look again"; the same one in a second sweep says what to do. */
  readonly standing: 'nothing-found' | 'look-again' | 'found-twice';
  /** Part of the flow that may be lost on the way from the gauge to the tip, estimated; null: not enough is known of the rig. */
  readonly flowLostBeforeTip: { readonly relative: number; readonly from: 'hose' | 'wand-gauge' } | null;
  /** Neither "restricted" nor "no fault shown" may be said alone. */
  readonly pressureMayBeLost: boolean;
  /** The verdict with the leak's exponent at 0.5 and at 1.5, where it is another one; else null. */
  readonly withOtherLeak: Cause | null;
  readonly warnings: readonly Warning[];
}

/** Why there is none, and how to get one. */
export interface NoDiagnosis {
  readonly because: Absence;
  readonly settledBy: readonly SettlingTest[];
}
