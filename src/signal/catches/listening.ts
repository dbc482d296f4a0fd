import type { GapReason } from '../../base/because.ts';
import type { CatchEvent, CatchListener } from './catch-event.ts';
import { createFrozenDisplay } from './frozen-display.ts';
import { createTareWatch } from './infer-tare.ts';
import { createKnockWatch } from './knock.ts';
import { createAwayWatch, type AwayWatch } from './lift.ts';
import { limits } from './limits.ts';
import { createRestLevels } from './rest-levels.ts';
import { steadyPart, type Line, type RunningFill } from './running-fill.ts';
import { Watch } from './watch.ts';

/** What the detector remembers between two readings; the states are functions over it. */
export class Listening {
  state: CatchListener['state'] = 'quiet';
  level_kg: number | null = null;
  events: CatchEvent[] = [];

  readonly watch: Watch;
  readonly knocks = createKnockWatch();
  readonly tares = createTareWatch();
  readonly frozen = createFrozenDisplay();
  readonly rests = createRestLevels();

  /** Time of the last reading with a number. */
  last_s = -Infinity;
  nullSince_s: number | null = null;
  lostLines: { readonly at_s: number; readonly because: GapReason } | null = null;
  /** No water is heard before the level has been flat for a while. */
  mustRest = true;
  /** Nothing but a rise has been seen since the readings began. */
  neverRested = true;
  flatSince_s: number | null = null;
  steepSince_s: number | null = null;
  lowSince_s: number | null = null;
  lowBlocks = 0;
  backSince_s: number | null = null;
  maybeStart_s = 0;
  crossed_s = 0;
  /** The level fell until here (a hand taken away): no base for a start before it. */
  fellUntil_s = -Infinity;
  fill: RunningFill | null = null;
  away: AwayWatch | null = null;
  /** Reading of the empty platform, once the pail has been away. */
  empty_kg: number | null = null;
  closed: ClosedPour | null = null;
  frozenWas: { readonly flow_kg_per_s: number; readonly since_s: number } | null = null;
  frozenBefore = false;

  constructor(
    step_kg: number | null,
    private readonly averagedReadings: number | null,
    readonly mayBend?: (start_s: number) => boolean,
  ) {
    this.watch = new Watch(step_kg ?? 0);
  }

  /** Length of the scale's own filter, s; four readings if it is not known. */
  get filter_s(): number {
    return ((this.averagedReadings ?? 4) - 1) * this.watch.readingPeriod_s;
  }
}

/** A catch that was closed a short while ago and may still fall back. */
export interface ClosedPour {
  readonly start_s: number;
  readonly stop_s: number;
  readonly before_kg: number;
  readonly rise_kg: number;
  readonly flow_kg_per_s: number;
  readonly at_s: number;
  /** The line it ran on before its stop, if there was enough of it. */
  readonly line: Line | null;
}

/** Level after a stop, from what was seen of it; null when that is too little to mean anything. */
export function tail(s: Listening, stop_s: number, until_s: number): number | null {
  const from_s = stop_s + 0.1 + s.filter_s;
  if (until_s - from_s < 0.3) return null;
  return s.watch.history.level_kg((from_s + until_s) / 2, until_s + 1e-6);
}

export function heldOnTheLine(
  s: Listening,
  fill: RunningFill,
  stop_s: number,
  since_s: number,
  held_kg: number,
): boolean {
  if (Math.abs(since_s - stop_s) > 0.3 + s.watch.period_s) return false;
  const line = steadyPart(s.watch, Math.max(fill.start_s, since_s - 6), since_s, 6);
  if (line === null) return false;
  const off_kg = Math.abs(held_kg - line.at_kg(since_s));
  return off_kg <= Math.max(1.5 * s.watch.step_kg, 3 * line.residualSd_kg);
}

export function restAt(s: Listening, now: number, level_kg: number): void {
  toQuiet(s);
  s.level_kg = level_kg;
  s.rests.note(now, level_kg);
}

export function toQuiet(s: Listening): void {
  s.state = 'quiet';
  s.fill = null;
  s.away = null;
  s.steepSince_s = s.lowSince_s = s.backSince_s = s.flatSince_s = null;
}

export function goAway(s: Listening, now: number, mass_kg: number): void {
  s.events.push({ kind: 'lifted', at_s: now });
  s.neverRested = false;
  toQuiet(s);
  s.state = 'away';
  s.away = createAwayWatch(limits, mass_kg, s.level_kg);
  s.level_kg = null;
  s.closed = null;
  s.rests.clear();
}

/**
 * With the pail gone nothing is left of it: well below every level it has had, and near the empty platform if that is known. A hand
 * that leaned on the pail since it was put down leaves much less when it goes, but not so little.
 */
export function liftedBelow_kg(s: Listening, level_kg: number): number {
  const lowest_kg = Math.min(level_kg, s.rests.lowest_kg);
  const least_kg = lowest_kg - limits.lift_kg;
  return s.empty_kg === null || s.empty_kg >= least_kg
    ? least_kg
    : Math.min(
        least_kg,
        s.empty_kg + Math.max(limits.lift_kg, limits.liftedShare * (lowest_kg - s.empty_kg)),
      );
}
