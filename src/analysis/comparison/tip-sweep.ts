import type { SharedPart } from '../budget/budget.ts';
import type { NozzleCurve } from '../curve/nozzle-curve.ts';
import type { SettingMean } from '../sweep/analysis.ts';

/** One sweep of one tip, as a comparison of tips needs it. Plain data; SI. */
export interface TipSweep {
  readonly tip: string;
  readonly curve: NozzleCurve;
  /** Mean of each setting (`settingMeans` of the same curve). */
  readonly settings: readonly SettingMean[];
  /** What all its catches share, named, as the budget has it (`FittedCurve.shared`). */
  readonly shared: readonly SharedPart[];
  readonly flowFrom: 'mass' | 'pulses';
  /** Equal text, the same instrument; null: nobody knows which. */
  readonly instrument: string | null;
  /** Equal text, the same rig. */
  readonly rig: string;
  /** Equal text, the same day and water ("2026-11-26"). */
  readonly day: string;
  readonly simulated: boolean;
  readonly pressure: PressureOfSweep;
  /** The pressure was held, so that there is a flow for each setting (false: pumped by hand, or falling). */
  readonly held: boolean;
  /**
   * What an offset of the meter that nobody could tell is worth, m³/s: u(b)/a of a two-parameter check, 1 Hz/√3/a after a check at one
   * flow or none. It falls on two flows of one meter in the proportion of their inverse. 0 for a scale.
   */
  readonly meterOffsetStandardUncertainty_m3_per_s: number;
}

export interface PressureOfSweep {
  readonly source: 'dial' | 'sensor';
  /** The control clicks or shows a number: it goes back to the same wrong pressure (measurement 11.3). */
  readonly returns: boolean;
  /** Of the error that all settings share (offset of the dial or of the sensor). */
  readonly sharedOffsetStandardUncertainty_Pa: number;
  /**
   * Relative, of the gain and of what is lost on the way to the tip together. Null: nobody said (no sensor, no gauge at the wand): such a
   * rig has no tie to another rig's pressure.
   */
  readonly sharedGainRelativeStandardUncertainty: number | null;
}
