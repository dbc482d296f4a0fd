import type { MassUnit } from '../reading.ts';

/** The version this program writes and the newest it reads. */
export const CAPTURE_VERSION = 1;

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
  /** Keys this version doesn't know (and `truth` of simulated captures), kept as written. */
  readonly unknown: Readonly<Record<string, string>>;
}
export { describeInstrument } from './describe-instrument.ts';
