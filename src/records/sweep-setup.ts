import type { Plumbing } from '../analysis/diagnosis/evidence.ts';
import type { RigKind } from '../signal/captures/header.ts';

/** What the person tells before "go". SI; every field is stored with the sweep. */
export interface SweepSetup {
  readonly tip: TipSetup;
  readonly rig: RigSetup;
  /** The settings to visit, each once in this list. */
  readonly settings_Pa: readonly number[];
  readonly catchesPerSetting: number;
  readonly order: 'random' | 'as-listed';
  /** Seed of the random order, kept so that the order can be told later. */
  readonly orderSeed: number;
  /** Relative half-width (95 %, own part) at which a catch has enough: 0.005 guided, 0.01 hand-held unless chosen. */
  readonly targetRelative: number;
  readonly waterTemperature_degC: number | null;
  /** `each-catch`: shut off between two catches; `one-pour`: the control is turned while the water runs. */
  readonly protocol: 'each-catch' | 'one-pour';
  /** `sensor`: settings are recognised by the pressure that is read, nobody has to announce them. */
  readonly settingsFrom: 'prompts' | 'sensor';
  /** `new-tip`: what is measured now becomes the tip's baseline; `weekly-check`: one or two settings, for the drift. */
  readonly occasion: (typeof occasions)[number];
  /** Several tips, or positions of a boom, in one sweep at one setting; null: one tip, as usual. */
  readonly routine: Routine | null;
}

export const occasions = ['sweep', 'new-tip', 'weekly-check'] as const;

/**
 * `tip-against-tip`: `tip` is A, `otherTip` B, in the order A B B A, as often as `catchesPerSetting` catches a tip need, without touching
 * the dial. `bag`: `tip` and the others, forth and back (A B C C B A), as often as `catchesPerSetting` catches a tip need. `boom`: positions 1…N, all other nozzles running, position 1 again at the end.
 */
export type Routine =
  | {
      readonly kind: 'tip-against-tip';
      readonly otherTip: TipSetup;
      /** Relative difference that is to be seen (0.01 = 1 %). */
      readonly wantedDifference: number;
    }
  | { readonly kind: 'boom'; readonly positions: number }
  | { readonly kind: 'bag'; readonly otherTips: readonly TipSetup[] };

export interface TipSetup {
  readonly name: string;
  readonly ratedFlow_m3_per_s: number | null;
  readonly ratedPressure_Pa: number | null;
}

export interface RigSetup {
  readonly name: string;
  /** Does the pressure control turn freely, or click / show a number (then it returns to the same wrong pressure)? */
  readonly control: 'turns-freely' | 'clicks-or-shows';
  readonly settingStandardUncertainty_Pa: number;
  readonly scaleLimit_kg: number;
  /** Of the pail; with the sprayer on the scale what its tank is filled with at the start and at each refill. */
  readonly pailVolume_m3: number;
  readonly wand: 'guided' | 'hand-held';
  readonly kind: RigKind;
  /** Pumped while spraying: the beat to pump to; null for any other kind. */
  readonly strokePeriod_s: number | null;
  readonly standsOnScale: 'pail' | 'sprayer';
  /** What lies between gauge and tip; null: nobody said. */
  readonly plumbing: Plumbing | null;
}
