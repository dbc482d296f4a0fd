/** Where the gauge or the dial that a setting names has its tap. */
export const gaugePlaces = ['pump', 'wand'] as const;

/**
 * What stands between the gauge and the tip, so that the pressure lost on the way can be estimated. Null: nobody said.
 * `weakestRating_Pa`: the pressure that the weakest part (hose, wand, tank) is rated for; blank tips are tested below it.
 */
export interface Plumbing {
  readonly gaugeAt: (typeof gaugePlaces)[number] | null;
  readonly hoseLength_m: number | null;
  readonly hoseBore_m: number | null;
  /** Positive: the tip is higher than the gauge. */
  readonly tipAboveGauge_m: number | null;
  readonly weakestRating_Pa: number | null;
}

/** One of the two-minute checks of a rig. SI; each with its standard uncertainty. */
export type RigCheckFound =
  /** Pump off, trigger open, no pressure: the dial shows this. */
  | { readonly kind: 'dial-at-zero'; readonly shown_Pa: number; readonly standardUncertainty_Pa: number }
  /** Turned down slowly while spraying: the flow stopped when the dial showed this. */
  | { readonly kind: 'flow-stops-at'; readonly shown_Pa: number; readonly standardUncertainty_Pa: number }
  /** A blank tip under pressure: what came out all the same, volume per time (shown per minute). */
  | {
      readonly kind: 'blank-tip';
      readonly leak_m3_per_s: number;
      readonly standardUncertainty_m3_per_s: number;
      readonly pressure_Pa: number;
    }
  /** Water running: the dial stood at `setting_Pa`, a gauge at the wand read `wand_Pa`. */
  | {
      readonly kind: 'wand-gauge';
      readonly setting_Pa: number;
      readonly wand_Pa: number;
      readonly standardUncertainty_Pa: number;
    }
  /**
   * Sprayed so long at one setting, the dial left alone: the flow lost this part of what it was (negative: it rose). The uncertainty is
   * half of the 95 % half-width: no smaller sag than twice it would have stood out (measurement 11.11).
   */
  | {
      readonly kind: 'sag-test';
      readonly setting_Pa: number;
      readonly flowLostRelative: number;
      readonly relativeStandardUncertainty: number;
      readonly sprayed_s: number;
    };

export type RigCheckKind = RigCheckFound['kind'];
export const rigCheckKinds = [
  'dial-at-zero',
  'flow-stops-at',
  'blank-tip',
  'wand-gauge',
  'sag-test',
] as const;

/** Is a sag shown, or only none that could be seen? */
export function isSagShown(found: RigCheckFound): boolean {
  return found.kind === 'sag-test' && found.flowLostRelative > 2 * found.relativeStandardUncertainty;
}
