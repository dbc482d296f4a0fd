import type { ClockCheckResult } from '../../analysis/checks/clock-check.ts';
import type { MeterCheckResult } from '../../analysis/checks/meter-check.ts';
import type { PressureCheckResult } from '../../analysis/checks/pressure-check.ts';
import type { ScaleCheckResult } from '../../analysis/checks/scale-check.ts';
import type { ScaleDrift } from '../../analysis/checks/scale-drift.ts';
import type { Because } from '../../base/because.ts';
import type { Refusal } from '../../base/outcome.ts';

/** What the person is asked to do in a check. The same words are spoken, shown and told to the simulated person. */
export type CheckPrompt =
  /** Nothing on, or the empty vessel only; hands off. */
  | { readonly kind: 'clear-scale'; readonly vessel: boolean }
  /** So much on the scale in all (pieces), or in the vessel (water). */
  | { readonly kind: 'put-on'; readonly amount: CheckAmount; readonly nth: number; readonly of: number }
  /** It is at rest with what was asked for: nothing may touch it now. */
  | { readonly kind: 'wait'; readonly for: 'empty' | 'load' }
  | { readonly kind: 'take-off' }
  /** So much water slowly into the pail, over a minute: does the display show it, or take it for its own drift? */
  | { readonly kind: 'trickle'; readonly mass_kg: number }
  | { readonly kind: 'leave-alone' }
  | { readonly kind: 'open-to-air' }
  | { readonly kind: 'bring-to-pressure'; readonly known_Pa: number }
  /** `leaves`: what stands on the scale still and has to go before a sweep; absent: nothing, or not known. */
  | { readonly kind: 'check-done'; readonly leaves?: 'water-in-pail' | 'jug' }
  | { readonly kind: 'check-failed'; readonly because: Because };

export type CheckAmount =
  | { readonly kind: 'mass'; readonly mass_kg: number }
  | { readonly kind: 'volume'; readonly volume_m3: number; readonly mass_kg: number };

export type CheckResult =
  | ({
      readonly kind: 'scale';
      readonly drift: ScaleDrift | null;
      /** Absent: nothing was poured in slowly. */
      readonly trickle?: TrickleFound;
    } & ScaleCheckResult)
  | ({ readonly kind: 'meter' } & MeterCheckResult)
  | ({ readonly kind: 'clock' } & ClockCheckResult)
  | ({ readonly kind: 'pressure'; readonly known_Pa: number } & PressureCheckResult);
/** Does the scale swallow a drip: so much was poured in over a minute, and so much of it was shown. */
export interface TrickleFound {
  readonly trickled_kg: number;
  readonly shown_kg: number;
  readonly swallowed: boolean;
}
export type CheckKind = CheckResult['kind'];

/** A check as it stands, for a screen. */
export interface CheckProgress {
  readonly kind: CheckKind;
  readonly prompt: CheckPrompt;
  /** What the instrument shows now, kg or Pa above what it showed empty; null before. */
  readonly shown: number | null;
  /** 0..1 of the present wait. */
  readonly progress: number;
  readonly secondsLeft: number | null;
  /** What keeps it from coming to rest, if something does. */
  readonly trouble: Because | null;
  readonly result: CheckResult | null;
  readonly failed: Refusal | null;
}
