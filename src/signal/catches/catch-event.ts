import type { GapReason, VoidReason, Warning, WithdrawnReason } from '../../base/because.ts';

/** What the detector tells while it listens, in order. Times are on the axis of the readings it was fed. */
export type CatchEvent =
  /** The mass may have begun to rise: say nothing aloud but "maybe". */
  | { readonly kind: 'maybe'; readonly at_s: number; readonly start_s: number }
  | { readonly kind: 'maybe-not'; readonly at_s: number }
  /** Sure enough to announce; start refined backwards. */
  | { readonly kind: 'filling'; readonly at_s: number; readonly start_s: number }
  | { readonly kind: 'bumped'; readonly at_s: number }
  | { readonly kind: 'settling'; readonly at_s: number; readonly stop_s: number }
  /** Water again within two seconds of a stop: the same catch goes on. */
  | { readonly kind: 'filling-again'; readonly at_s: number }
  | { readonly kind: 'closed'; readonly at_s: number; readonly caught: DetectedCatch }
  | {
      readonly kind: 'withdrawn';
      readonly at_s: number;
      readonly start_s: number;
      readonly because: WithdrawnReason;
    }
  /** A catch closed earlier turned out not to be water (the level fell back without a lift). */
  | {
      readonly kind: 'retracted';
      readonly at_s: number;
      readonly start_s: number;
      readonly because: WithdrawnReason;
    }
  | { readonly kind: 'lifted'; readonly at_s: number }
  | { readonly kind: 'replaced'; readonly at_s: number; readonly level_kg: number }
  | { readonly kind: 'tared'; readonly at_s: number };

/** One pour closed as water, edges refined; what it delivered is the business of `analysis/flow`. */
export interface DetectedCatch {
  readonly start_s: number;
  readonly stop_s: number;
  /** Level of the pail before the start edge and after it has settled, as shown, kg. */
  readonly before_kg: number;
  /** Null when it never settled (void), or was lifted or tared before its level could be seen. */
  readonly settled_kg: number | null;
  /** Step at the start edge that the water can't explain: the jet's push, kg (never negative). */
  readonly jet_kg: number;
  /** Rise after it settled, kg/s; null when it was not quiet long enough to tell. */
  readonly drip_kg_per_s: number | null;
  readonly voidBecause: VoidReason | null;
  readonly warnings: readonly Warning[];
}

export interface CatchListener {
  /** Feed one sample. `mass_kg` null: the instrument gave no number (over range, waiting). */
  push(time_s: number, mass_kg: number | null): CatchEvent[];
  /** Readings are not continuous here. A running catch ends as void; the detector starts anew. */
  gap(at_s: number, because: GapReason): CatchEvent[];
  /** The scale was tared or changed between net and gross, told by the line itself. */
  tared(at_s: number): CatchEvent[];
  /** No more readings will come. A running catch ends as void `capture-ended-while-filling` unless it has settled. */
  end(at_s: number): CatchEvent[];
  readonly state: 'quiet' | 'maybe' | 'filling' | 'settling' | 'away';
  /** Level of the pail while quiet, kg; null when away or not known yet. */
  readonly level_kg: number | null;
}
