import { medianOf } from './slope.ts';

/** Something came to rest on the pail, or moved away, while the mass rose. */
export interface Step {
  readonly at_s: number;
  /** Positive: weight came on, kg. */
  readonly size_kg: number;
}

/** Levels are compared over this long, this far from the step on either side, s: a knock of a second doesn't count. */
const SIDE_S = 1.3;
const CLEAR_S = 0.4;
/** The usual pace is the median rise over this long, s. */
const PACE_S = 2;
const EVERY_S = 0.15;
const LEAST_KG = 0.006;
const SDS = 7;
const LEAST_ON_A_SIDE = 4;
const SHORTEST_S = 5;
/** The second look: as far as this to either side, this far clear of it; what it may have become. */
const FAR_S = 4.5;
const FAR_CLEAR_S = 0.8;
const LEAST_FAR_S = 1.2;
const KNOCK_S = 3;
const HELD_S = 1.1;
const LEAST_FROM_AFAR = 0.6;
const MOST_FROM_AFAR = 1.6;

/**
 * What: moments at which the line of a steady rise jumps to another level and goes on at the same pace (wand, hose or hand on the rim).
 * Method: the rise is taken off with the median of all rises over 2 s (no step bends it while less than half of them hold one);
 *   at every 0.15 s the medians of the 1.3 s before and after, 0.4 s clear of it, are compared. A step is a difference beyond 7 robust
 *   standard deviations of all such differences, 6 g and three display steps; where neighbours exceed, the largest, placed in the
 *   middle of the stretch above half of it. Seen from 0.8-4.5 s away it must be 0.6-1.6 times as large: a knock is gone there, a bend
 *   has grown; and the display must not have stood still beside it. A wand that rests for under 3 s counts as a knock.
 * Columns: indices `from` ≤ i < `to`, times ascending, masses finite. Empty for under 5 s of readings.
 * Source: plain robust statistics (arithmetic); limits tuned on simulated seeds below 1000.
 */
export function findSteps(
  time_s: ArrayLike<number>,
  mass_kg: ArrayLike<number>,
  from: number,
  to: number,
  step_kg: number,
): Step[] {
  const first_s = time_s[from] ?? 0;
  const last_s = time_s[to - 1] ?? 0;
  if (to - from < 4 * LEAST_ON_A_SIDE || last_s - first_s < SHORTEST_S) return [];
  const pace = usualPace(time_s, mass_kg, from, to);
  if (pace === null) return [];
  const level = new Float64Array(to - from);
  for (let i = from; i < to; i++) level[i - from] = mass_kg[i]! - pace * (time_s[i]! - first_s);

  const at_s: number[] = [];
  const jumps: number[] = [];
  let a = 0;
  let b = 0;
  let c = 0;
  let d = 0;
  const at = (i: number): number => time_s[from + i] ?? Infinity;
  for (let t = first_s + CLEAR_S; t < last_s - CLEAR_S; t += EVERY_S) {
    while (at(a) < t - CLEAR_S - SIDE_S) a++;
    while (at(b) <= t - CLEAR_S) b++;
    while (at(c) < t + CLEAR_S) c++;
    while (at(d) <= t + CLEAR_S + SIDE_S) d++;
    if (b - a < LEAST_ON_A_SIDE || d - c < LEAST_ON_A_SIDE) continue;
    at_s.push(t);
    jumps.push((medianOf(level.subarray(c, d)) ?? 0) - (medianOf(level.subarray(a, b)) ?? 0));
  }
  const spread = medianOf(jumps.map(Math.abs)) ?? 0;
  const least_kg = Math.max(LEAST_KG, 3 * step_kg, SDS * 1.4826 * spread);
  const found = peaks(at_s, jumps, least_kg);
  // Seen from farther away a knock is gone and a bend has grown; a step is what it was.
  return found.filter((step) => {
    // What comes and goes within seconds is a knock: its two sides must not explain each other away.
    const others = found.filter((other) => Math.abs(other.at_s - step.at_s) > KNOCK_S);
    if (stoodStill(step.at_s - HELD_S) || stoodStill(step.at_s + CLEAR_S)) return false;
    const before = sideLevel(step.at_s - FAR_S, step.at_s - FAR_CLEAR_S, others);
    const after = sideLevel(step.at_s + FAR_CLEAR_S, step.at_s + FAR_S, others);
    if (before === null || after === null) return false;
    const ratio = (after - before) / step.size_kg;
    return ratio > LEAST_FROM_AFAR && ratio < MOST_FROM_AFAR;
  });

  /** A display that was held and then caught up jumps too. */
  function stoodStill(low_s: number): boolean {
    let shown: number | null = null;
    let count = 0;
    for (let i = from; i < to; i++) {
      if (time_s[i]! < low_s || time_s[i]! > low_s + HELD_S - CLEAR_S) continue;
      if (shown !== null && mass_kg[i] !== shown) return false;
      shown = mass_kg[i]!;
      count++;
    }
    return count > 2 && (pace ?? 0) * (HELD_S - CLEAR_S) > 2 * step_kg;
  }

  /** Median level between two times, as if the other steps had not been; null with too few readings. */
  function sideLevel(low_s: number, high_s: number, others: readonly Step[]): number | null {
    const levels: number[] = [];
    if (Math.min(high_s, last_s) - Math.max(low_s, first_s) < LEAST_FAR_S) return null;
    for (let i = from; i < to; i++) {
      const t = time_s[i]!;
      if (t >= low_s && t <= high_s) levels.push(level[i - from]! - steppedBy_kg(others, t));
    }
    return levels.length < LEAST_ON_A_SIDE ? null : medianOf(levels);
  }
}

function usualPace(
  time_s: ArrayLike<number>,
  mass_kg: ArrayLike<number>,
  from: number,
  to: number,
): number | null {
  const stride = Math.max(1, Math.floor((to - from) / 400));
  const paces: number[] = [];
  let late = from;
  for (let early = from; early < to; early += stride) {
    while (late < to && time_s[late]! < time_s[early]! + PACE_S) late++;
    if (late >= to) break;
    paces.push((mass_kg[late]! - mass_kg[early]!) / (time_s[late]! - time_s[early]!));
  }
  return medianOf(paces);
}

function peaks(at_s: readonly number[], jumps: readonly number[], least_kg: number): Step[] {
  const steps: Step[] = [];
  const taken = jumps.map(() => false);
  for (;;) {
    let peak = -1;
    for (let i = 0; i < jumps.length; i++)
      if (taken[i] !== true && (peak < 0 || Math.abs(jumps[i]!) > Math.abs(jumps[peak]!))) peak = i;
    const size_kg = peak < 0 ? 0 : jumps[peak]!;
    if (Math.abs(size_kg) < least_kg) break;
    let low = peak;
    let high = peak;
    while (low > 0 && jumps[low - 1]! / size_kg > 0.5) low--;
    while (high < jumps.length - 1 && jumps[high + 1]! / size_kg > 0.5) high++;
    steps.push({ at_s: (at_s[low]! + at_s[high]!) / 2, size_kg });
    const reach_s = SIDE_S + 2 * CLEAR_S;
    for (let i = 0; i < jumps.length; i++)
      if (Math.abs(at_s[i]! - at_s[peak]!) < reach_s || (i >= low && i <= high)) taken[i] = true;
  }
  return steps.sort((x, y) => x.at_s - y.at_s);
}

/** What of the mass at a time came on by the steps before it, kg. */
export function steppedBy_kg(steps: readonly Step[], time_s: number): number {
  let sum = 0;
  for (const step of steps) if (step.at_s <= time_s) sum += step.size_kg;
  return sum;
}

/** What of a rise is water: with the steps' weight taken off or not, whichever comes nearer to the water expected, kg. */
export function likeliestRise_kg(rise_kg: number, steps: readonly Step[], expected_kg: number): number {
  const water_kg = rise_kg - steppedBy_kg(steps, Infinity);
  return Math.abs(water_kg - expected_kg) < Math.abs(rise_kg - expected_kg) ? water_kg : rise_kg;
}
