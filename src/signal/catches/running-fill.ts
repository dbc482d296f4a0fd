import type { VoidReason, Warning } from '../../base/because.ts';
import type { DetectedCatch } from './catch-event.ts';
import { limits } from './limits.ts';
import { splitAtStart, splitAtStop } from './refine-edges.ts';
import { medianOf, theilSenSlope } from './slope.ts';
import type { Watch } from './watch.ts';

/** The pour that is going on: its edges so far, its base, its slope. */
export class RunningFill {
  flow_kg_per_s: number;
  stop_s: number | null = null;
  /** Something stood out of the line here: a knock, or the jet's push that fell away. */
  knocked_s: number | null = null;
  frozenFor_s = 0;
  /** The line it ran on before it seemed to stop: tells how long the water was really off, and if at all. */
  lineBefore: Line | null = null;
  ignoreStopUntil_s = -Infinity;
  /** A weight left the pail here: no line reaches back over it, s. */
  lineFrom_s = -Infinity;
  readonly warnings = new Set<Warning>();
  private flowKnown_s = -Infinity;

  constructor(
    public start_s: number,
    public before_kg: number,
    flow_kg_per_s: number,
    /** It ran already when the readings began: the start is only their first. */
    readonly startUnseen = false,
  ) {
    this.flow_kg_per_s = flow_kg_per_s;
  }

  /** Renew the running slope, twice a second, from up to eight seconds that lie past the start's transient. */
  follow(watch: Watch, now_s: number): void {
    if (now_s - this.flowKnown_s < 0.5) return;
    const from_s = Math.max(this.start_s + 1, this.lineFrom_s, now_s - (now_s - this.start_s < 10 ? 3 : 8));
    if (now_s - from_s < 1.5) return;
    this.flowKnown_s = now_s;
    const slope = watch.history.slope_kg_per_s(from_s, now_s - 0.1);
    if (slope !== null && slope > 0) this.flow_kg_per_s = slope;
  }
}

/** Start edge and the level before it, from the history around `about_s`; null when there is too little of it. */
export function findStart(
  watch: Watch,
  from_s: number,
  to_s: number,
): { start_s: number; before_kg: number } | null {
  const { times_s, masses_kg } = watch.history;
  const from = watch.history.indexAt(Math.max(from_s, watch.cleanFrom_s));
  const split = splitAtStart(times_s, masses_kg, from, watch.history.indexAt(to_s));
  if (split === null) return null;
  const base = medianOf(masses_kg.slice(from, split.lastOfFirst + 1));
  return base === null ? null : { start_s: split.edge_s, before_kg: base };
}

/** Last lowest block shortly before the slope crossed its threshold: a start when no flat base can be had. */
export function lowestBefore(watch: Watch, crossed_s: number): { start_s: number; before_kg: number } {
  const { times_s, masses_kg } = watch.history;
  const to = watch.history.indexAt(crossed_s + 0.3);
  let lowest = Math.max(0, to - 1);
  for (let i = watch.history.indexAt(Math.max(crossed_s - 1.2, watch.cleanFrom_s)); i < to; i++)
    if ((masses_kg[i] ?? 0) <= (masses_kg[lowest] ?? 0)) lowest = i;
  return { start_s: times_s[lowest] ?? crossed_s, before_kg: masses_kg[lowest] ?? 0 };
}

/** Stop edge from the history between two times; null when there is too little of it. */
export function findStop(watch: Watch, from_s: number, to_s: number): number | null {
  const { times_s, masses_kg } = watch.history;
  const from = watch.history.indexAt(Math.max(from_s, watch.cleanFrom_s));
  return splitAtStop(times_s, masses_kg, from, watch.history.indexAt(to_s))?.edge_s ?? null;
}

/** A straight piece of a fill. */
export interface Line {
  readonly flow_kg_per_s: number;
  /** MAD × 1.4826 of the blocks about the line. */
  readonly residualSd_kg: number;
  /**
   * The same from the distance that four fifths stay within (/ 1.2816, normal): sees a bend that the median overlooks,
   * and still not a knock of a second.
   */
  readonly crooked_kg: number;
  /** Root mean square about the line, what lies far beyond the above left out. */
  readonly residualRms_kg: number;
  /** The line's mass at a time, kg. */
  at_kg(time_s: number): number;
}

/** Theil-Sen line through the blocks of `from_s` ≤ time < `to_s`. Null with fewer than three. */
export function lineThrough(watch: Watch, from_s: number, to_s: number): Line | null {
  const { times_s, masses_kg, indexAt } = watch.history;
  return straight(times_s, masses_kg, indexAt(from_s), indexAt(to_s), 2 * watch.step_kg);
}

/** The same through given points; `most_kg`: what may lie off it before it counts as a knock. */
export function straight(
  times_s: readonly number[],
  masses_kg: readonly number[],
  from: number,
  to: number,
  most_kg: number,
): Line | null {
  const slope = theilSenSlope(times_s, masses_kg, from, to);
  if (slope === null) return null;
  const t0 = times_s[from] ?? 0;
  const offsets: number[] = [];
  for (let i = from; i < to; i++) offsets.push((masses_kg[i] ?? 0) - slope * ((times_s[i] ?? 0) - t0));
  const offset = medianOf(offsets) ?? 0;
  const distances = offsets.map((value) => Math.abs(value - offset)).sort((a, b) => a - b);
  const spread = medianOf(distances) ?? 0;
  let squares = 0;
  let counted = 0;
  for (const value of offsets) {
    if (Math.abs(value - offset) > 6 * spread + most_kg) continue;
    squares += (value - offset) ** 2;
    counted++;
  }
  return {
    flow_kg_per_s: slope,
    residualSd_kg: 1.4826 * spread,
    crooked_kg: (distances[Math.floor(0.8 * distances.length)] ?? 0) / 1.2816,
    residualRms_kg: Math.sqrt(squares / Math.max(1, counted - 2)),
    at_kg: (time_s) => offset + slope * (time_s - t0),
  };
}

/** The same with a second look that leaves out what stands off the first line: a knock at one end bends it. */
export function trimmedLineThrough(watch: Watch, from_s: number, to_s: number): Line | null {
  const first = lineThrough(watch, from_s, to_s);
  if (first === null) return null;
  const { times_s, masses_kg } = watch.history;
  const most_kg = Math.max(2.5 * first.residualSd_kg, watch.levelTolerance_kg(1.5, 0.003));
  const times: number[] = [];
  const masses: number[] = [];
  for (let i = watch.history.indexAt(from_s); i < watch.history.indexAt(to_s); i++) {
    const time_s = times_s[i] ?? 0;
    const mass_kg = masses_kg[i] ?? 0;
    if (Math.abs(mass_kg - first.at_kg(time_s)) > most_kg) continue;
    times.push(time_s);
    masses.push(mass_kg);
  }
  return times.length < 6 ? first : (straight(times, masses, 0, times.length, 2 * watch.step_kg) ?? first);
}

/** Line through a fill past its transients; at most its first `atMost_s`. Null when it is too short. */
export function steadyPart(watch: Watch, start_s: number, stop_s: number, atMost_s: number): Line | null {
  const lead_s = Math.min(1, 0.25 * (stop_s - start_s));
  return lineThrough(watch, start_s + lead_s, Math.min(stop_s - 0.2, start_s + lead_s + atMost_s));
}

/**
 * Start edge once the fill's line is known: the moment that best parts readings on the base from readings on the line, with
 * squares cut off so that a knock near the start counts little. Null when the fill is too short or its start is no longer kept.
 */
export function refineStart(watch: Watch, fill: RunningFill, stop_s: number): number | null {
  if (stop_s - fill.start_s < limits.shortest_s) return null;
  const line = steadyPart(watch, fill.start_s + 0.5, stop_s, 8);
  const { times_s, masses_kg } = watch.history;
  const from = watch.history.indexAt(Math.max(fill.start_s - limits.edgeSearch_s, watch.cleanFrom_s));
  const to = watch.history.indexAt(fill.start_s + limits.edgeSearch_s);
  if (line === null || (times_s[0] ?? Infinity) > fill.start_s - 0.3 || to - from < 6) return null;
  const jump_kg = line.at_kg(fill.start_s) - fill.before_kg;
  const cut = Math.max(watch.levelTolerance_kg(3, 0.006), 0.7 * jump_kg) ** 2;
  let sum = 0;
  let best = Infinity;
  let edge_s: number | null = null;
  // Relative to "all on the line": moving the edge past a reading swaps its distance to the line for that to the base.
  for (let i = from; i < to - 1; i++) {
    const mass_kg = masses_kg[i] ?? 0;
    const toBase = Math.min(cut, (mass_kg - fill.before_kg) ** 2);
    const toLine = Math.min(cut, (mass_kg - line.at_kg(times_s[i] ?? 0)) ** 2);
    sum += toBase - toLine;
    if (sum < best) {
      best = sum;
      edge_s = ((times_s[i] ?? 0) + (times_s[i + 1] ?? 0)) / 2;
    }
  }
  // Where both ways agree the free split is the less biased one: the first reading after the valve lies below the line.
  if (edge_s === null || Math.abs(edge_s - fill.start_s) < 0.5) return null;
  const near = findStart(watch, edge_s - 0.9, edge_s + 1.1);
  return near !== null && Math.abs(near.start_s - edge_s) < 0.5 ? near.start_s : edge_s;
}

/** Step at the start edge that the water can't explain, kg; never negative. */
export function jetPush_kg(watch: Watch, fill: RunningFill, stop_s: number): number {
  const opening = steadyPart(watch, fill.start_s, stop_s, 8);
  return opening === null ? 0 : Math.max(0, opening.at_kg(fill.start_s) - fill.before_kg);
}

/** Make the finished catch out of a fill, all its doubts with it. */
export function finished(
  watch: Watch,
  fill: RunningFill,
  stop_s: number,
  settled_kg: number | null,
  drip_kg_per_s: number | null,
  voidBecause: VoidReason | null,
): DetectedCatch {
  const jet_kg = jetPush_kg(watch, fill, stop_s);
  const warnings = new Set(fill.warnings);
  if (watch.step_kg >= limits.coarseStep_kg) warnings.add('coarse-steps');
  if (watch.patience > 1) warnings.add('wind-or-touch');
  if (jet_kg > Math.max(limits.jetMost_s * fill.flow_kg_per_s, watch.levelTolerance_kg(5, 0.05)))
    warnings.add('wind-or-touch');
  return {
    start_s: fill.start_s,
    stop_s,
    before_kg: fill.before_kg,
    settled_kg,
    jet_kg,
    drip_kg_per_s,
    voidBecause,
    warnings: [...warnings],
  };
}
