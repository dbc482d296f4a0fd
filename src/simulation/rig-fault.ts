import { PSI_PA } from '../base/units/constants.ts';

/** Faults that can be switched on, several at once. Shares are relative (0.1 = 10 %). */
export type RigFault =
  | { readonly kind: 'none' }
  | { readonly kind: 'worn'; readonly share: number }
  | { readonly kind: 'restricted'; readonly share: number }
  /**
   * Water beside the orifice: share of the new tip's flow at 40 psi, growing as pressure to `exponent` (absent: 1.25; 0.5 a hole that keeps
   * its size, 1.5 one that opens with pressure). `opensAt_Pa`: nothing below, and what is above counts as the pressure (absent: 0).
   */
  | {
      readonly kind: 'leaking';
      readonly share: number;
      readonly exponent?: number;
      readonly opensAt_Pa?: number;
    }
  /** The pump gives no more than this pressure. */
  | { readonly kind: 'pump-limited'; readonly pressure_Pa: number }
  /** The dial shows this much more than there is (negative: less). */
  | { readonly kind: 'dial-high'; readonly offset_Pa: number }
  /** The dial shows this share more than there is (negative: less). */
  | { readonly kind: 'dial-gain'; readonly share: number }
  /** A spring holds the water back: it opens here, and the tip feels only what is above. */
  | { readonly kind: 'check-valve'; readonly opensAt_Pa: number }
  /** The pressure falls by this share while water runs: in each minute of it, or over the whole sweep. */
  | { readonly kind: 'battery-sag'; readonly share: number; readonly per: 'minute' | 'sweep' }
  /** Pressure lost in a smooth hose between gauge and tip, and to the height of the tip above the gauge (absent: 0). */
  | {
      readonly kind: 'hose-loss';
      readonly length_m: number;
      readonly bore_m: number;
      readonly tipAboveGauge_m?: number;
    }
  /** The same as pressure lost at the new tip's flow at 40 psi, growing as the square of the flow. */
  | { readonly kind: 'pressure-loss'; readonly lost_Pa: number };

/** The fault of one kind, with its numbers. */
export type FaultOf<Kind extends RigFault['kind']> = Extract<RigFault, { readonly kind: Kind }>;

/** Shares of leaks and losses are told at this pressure. */
export const FAULT_TOLD_AT_PA = 40 * PSI_PA;
export const USUAL_LEAK_EXPONENT = 1.25;

/** All faults of a kind. */
export function ofKind<Kind extends RigFault['kind']>(
  faults: readonly RigFault[],
  kind: Kind,
): readonly FaultOf<Kind>[] {
  return faults.filter((fault): fault is FaultOf<Kind> => fault.kind === kind);
}

/** Wear and restriction, as the factor they make on the orifice's constant. */
export function orificeFactor(faults: readonly RigFault[]): number {
  let factor = 1;
  for (const { share } of ofKind(faults, 'worn')) factor *= 1 + share;
  for (const { share } of ofKind(faults, 'restricted')) factor *= 1 - share;
  return factor;
}
