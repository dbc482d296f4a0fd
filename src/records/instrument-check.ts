import type { ClockCheckResult } from '../analysis/checks/clock-check.ts';
import type { MeterCheckResult } from '../analysis/checks/meter-check.ts';
import type { PressureCheckResult } from '../analysis/checks/pressure-check.ts';
import type { ScaleCheckResult } from '../analysis/checks/scale-check.ts';
import type { ScaleDrift } from '../analysis/checks/scale-drift.ts';
import type { InstrumentDescription } from '../signal/reading.ts';
import type { Envelope } from './envelope.ts';

/** What the person decided about a scale: correct it, leave it and carry the doubt, or not measure with it. */
export const scaleDecisions = ['correct', 'leave', 'refuse'] as const;
export type ScaleDecision = (typeof scaleDecisions)[number];

/** What a check found, in the numbers of its analysis. */
export type KeptCheck = KeptScaleCheck | KeptMeterCheck | KeptClockCheck | KeptPressureCheck;

export interface KeptScaleCheck extends ScaleCheckResult {
  readonly kind: 'scale';
  readonly decision: ScaleDecision;
  /** Against the check before the sweep; null where there was none. */
  readonly drift: ScaleDrift | null;
  /** What was poured in slowly and how much of it was shown, kg; absent where nothing was. */
  readonly trickle?: { readonly trickled_kg: number; readonly shown_kg: number; readonly swallowed: boolean };
}
export interface KeptMeterCheck extends MeterCheckResult {
  readonly kind: 'meter';
}
export interface KeptClockCheck extends ClockCheckResult {
  readonly kind: 'clock';
}
export interface KeptPressureCheck extends PressureCheckResult {
  readonly kind: 'pressure';
  readonly known_Pa: number;
}

/** A check of the instrument. `sweepId`: the sweep it followed, or its own id when it belongs to none; it is never a line of the list. */
export interface InstrumentCheckRecord extends Envelope {
  readonly kind: 'instrument-check';
  readonly instrument: InstrumentDescription;
  readonly check: KeptCheck;
}
