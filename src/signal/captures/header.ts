import type { MassUnit } from '../reading.ts';

/** The version this program writes and the newest it reads. */
export const CAPTURE_VERSION = 1;

/**
 * What drives the water. `held`: a pump or a regulator keeps the pressure; `pumped-while-spraying`: by hand, stroke by stroke;
 * `pumped-up`: a can whose pressure falls; `hose-reel`: a long hose that swells before the flow is steady.
 */
export const rigKinds = ['held', 'pumped-while-spraying', 'pumped-up', 'hose-reel'] as const;
export type RigKind = (typeof rigKinds)[number];

/**
 * What is known of a recording before its first line. The names are those of the file, units included; absent: not said.
 * Numbers are finite and in their ranges once read (`parse-header.ts`).
 */
export interface CaptureHeader {
  readonly instrument: 'scale' | 'bench-board';
  /** ISO 8601, as written. */
  readonly startedAt?: string;
  /** Scale only: what a bare number means. */
  readonly unit?: MassUnit;
  /** Absent: 20 is assumed, with a warning. */
  readonly waterTemperature_degC?: number;
  /** Length of the scale's own moving average, readings. */
  readonly averagedReadings?: number;
  readonly scaleFactorFrom?: 'mass-pieces' | 'water-volume' | 'maker';
  /** Bench board: grams a count; may be negative (cell the other way round). Zero stands at 0 counts. */
  readonly gramsPerCount?: number;
  readonly pulsesPerLitre?: number;
  /** Of a two-parameter check of the meter; absent: none was made. */
  readonly meterOffset_Hz?: number;
  readonly pressureFullScale_Pa?: number;
  /** Absent: 10342 is assumed, with a warning. */
  readonly settingStandardUncertainty_Pa?: number;
  /** Absent: re-set. */
  readonly settingProtocol?: 're-set' | 'set-once';
  /** Absent: hand-held. */
  readonly wand?: 'hand-held' | 'guided';
  readonly tip?: string;
  readonly ratedFlow_m3_per_s?: number;
  readonly ratedPressure_Pa?: number;
  readonly referenceNozzleConstant_m3_per_s_per_sqrtPa?: number;
  readonly referenceRelativeStandardUncertainty?: number;
  readonly sweepId?: string;
  readonly simulated?: boolean;
  /** `sprayer`: the whole sprayer stands on the scale and loses mass. Absent: pail. */
  readonly standsOnScale?: 'pail' | 'sprayer';
  /** Absent: held. */
  readonly rigKind?: RigKind;
  /** Pumped while spraying: time between two strokes of the beat. */
  readonly strokePeriod_s?: number;
  /** True over shown mass from a check, applied to every flow from mass. Absent: 1. */
  readonly scaleFactor?: number;
  /** Of that factor, or of a scale that was checked and left as it is. Absent: not in the budget. */
  readonly scaleFactorRelativeStandardUncertainty?: number;
  /** What a check found of a scale that was left as it is, in terms of mass pieces: not applied, but carried as doubt, and drift counts from it. */
  readonly scaleFactorFound?: number;
  /** Of a two-parameter check f = aQ - b: `pulsesPerLitre` is a, `meterOffset_Hz` is b. */
  readonly pulsesPerLitreStandardUncertainty?: number;
  readonly meterOffsetStandardUncertainty_Hz?: number;
  /** Correlation of a and b. */
  readonly meterCorrelation?: number;
  /** What the reference of the check was worth, the same for all its flows. */
  readonly meterReferenceRelativeStandardUncertainty?: number;
  /** Below it the meter was not checked and gives no flow. */
  readonly meterLowestFlow_m3_per_s?: number;
  /** More than a tenth above it a flow from the meter is flagged. */
  readonly meterHighestFlow_m3_per_s?: number;
  /** Arrival seconds in one device second, from a check made before; used where the capture itself is too short for one. */
  readonly clockRatio?: number;
  readonly clockRatioStandardUncertainty?: number;
  /** Two-point check of the pressure sensor: true = gain x (shown - zero). */
  readonly pressureZero_Pa?: number;
  readonly pressureGain?: number;
  /** What a checked pressure is worth. Absent: half a percent of full scale, rectangular. */
  readonly pressureStandardUncertainty_Pa?: number;
  /** Where the reference constant comes from: the tip's own baseline on this rig, what is stamped, or a tip never sprayed with. */
  readonly referenceFrom?: 'baseline' | 'rated' | 'drawer-tip';
  /** Free text, as `tip`. */
  readonly rig?: string;
  /** Where the gauge or dial that the settings name has its tap. Absent: not known, taken as the pump's end. */
  readonly gaugeAt?: 'pump' | 'wand';
  readonly hoseLength_m?: number;
  readonly hoseBore_m?: number;
  /** Positive: the tip is higher than the gauge. */
  readonly tipAboveGauge_m?: number;
  /** The cause that the last sweep of this tip on this rig was given; `none known`: no cause we know fitted it; absent: none before, or none with a verdict. */
  readonly earlierFinding?: string;
  /** Several tips, or positions of a boom, took turns in this sweep; which one gave the water say `!tip` marks. Absent: not said. */
  readonly routine?: 'tip-against-tip' | 'bag' | 'boom';
  /** Beside a reference that is a baseline: what lies between gauge and tip is told otherwise than it was then. */
  readonly referenceRigChanged?: boolean;
  /** Beside one: pressure at the wand over the dial's, as a gauge there read when it was measured. */
  readonly referenceWandRatio?: number;
  readonly referenceWandRatioStandardUncertainty?: number;
  /** Keys this version doesn't know (and `truth` of simulated captures), kept as written. */
  readonly unknown: Readonly<Record<string, string>>;
}
export { describeInstrument } from './describe-instrument.ts';
