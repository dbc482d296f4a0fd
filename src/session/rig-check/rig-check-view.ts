import type { RigCheckFound, RigCheckKind } from '../../analysis/diagnosis/evidence.ts';
import type { Because, Warning } from '../../base/because.ts';
import type { Outcome, Refusal } from '../../base/outcome.ts';
import type { StreamEvent } from '../../signal/reading.ts';

/** What the person is asked to do in a check of the rig. The same words are spoken, shown and told to the simulated person. */
export type RigCheckPrompt =
  /** Pump off, trigger open, until nothing comes any more. */
  | { readonly kind: 'release-pressure' }
  /** `unheard`: nothing listens, so this one line asks for the pressure to be let out too. */
  | { readonly kind: 'read-dial'; readonly unheard?: true }
  /** Into the pail, at this setting of the dial, and keep it open. */
  | { readonly kind: 'set-and-spray'; readonly setting_Pa: number; readonly turnAwayFirst: false }
  | { readonly kind: 'turn-while-spraying'; readonly setting_Pa: number; readonly again: boolean }
  /** Pump off, trigger open, pressure at zero; then the blank in the tip's place. */
  | { readonly kind: 'fit-blank' }
  /** Pump on, the dial to this pressure, trigger open, nobody in line. */
  | { readonly kind: 'pressurise-blank'; readonly pressure_Pa: number }
  /** The trigger stays open, and nothing touches the pail. */
  | { readonly kind: 'watch-drip' }
  /** Pump off, trigger open, pressure at zero; then the gauge at the wand, which has to read beyond this. */
  | { readonly kind: 'fit-gauge'; readonly highest_Pa: number }
  /** Water running at this setting: what does the gauge at the wand show? */
  | {
      readonly kind: 'spray-and-read';
      readonly setting_Pa: number;
      readonly nth: number;
      readonly of: number;
    }
  /** The dial is left alone, the trigger open: into the pail or elsewhere. */
  | { readonly kind: 'spray-on' }
  /** Into the pail again, the dial as it is. */
  | { readonly kind: 'catch-again'; readonly setting_Pa: number }
  /** `leaves`: what has to be undone before anything else. */
  | { readonly kind: 'rig-check-done'; readonly leaves: RigCheckLeaves }
  | { readonly kind: 'rig-check-failed'; readonly because: Because; readonly leaves: RigCheckLeaves };

/** In what state a check leaves the rig; `pump-off`: no pressure, but the trigger is open. */
export type RigCheckLeaves = 'blank' | 'gauge' | 'open-trigger' | 'pump-off';

/** Wherever a check of this kind is broken off: the worst that may have been done by then. */
export function leftWhenStopped(kind: RigCheckKind): RigCheckLeaves {
  return kind === 'blank-tip' ? 'blank' : kind === 'wand-gauge' ? 'gauge' : 'open-trigger';
}

/** What the one field or the one large button is for now; null: nothing is to be touched. */
export type RigCheckAsks =
  | 'dial'
  | 'wand'
  | 'blank-is-in'
  | 'pressure-stands'
  | 'gauge-is-on'
  | 'goes-no-lower'
  | 'sprayed-enough'
  | null;

/** A check of the rig as it stands, for a screen. */
export interface RigCheckProgress {
  readonly kind: RigCheckKind;
  readonly prompt: RigCheckPrompt;
  readonly asks: RigCheckAsks;
  /** Flow that is heard now; null while it can't be told. */
  readonly flow_m3_per_s: number | null;
  /** 0..1 of the whole check. */
  readonly progress: number;
  readonly secondsLeft: number | null;
  /** What was found so far; all of it once `isOver`. */
  readonly found: readonly RigCheckFound[];
  readonly warnings: readonly Warning[];
  readonly isOver: boolean;
  readonly failed: Refusal | null;
}

/** One check, hands-free but for the number that only eyes can read. Times are the stream's. */
export interface RigCheckMachine {
  readonly prompt: RigCheckPrompt;
  readonly isOver: boolean;
  /** @returns what is to be said because of this event, in order. */
  accept(event: StreamEvent): readonly RigCheckPrompt[];
  /** A number read off a dial or gauge, Pa; null: the large button. Refused, what was asked is still asked. */
  answer(value_Pa: number | null): Outcome<readonly RigCheckPrompt[]>;
  view(): RigCheckProgress;
}
