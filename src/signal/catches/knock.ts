import { limits } from './limits.ts';
import type { Listening } from './listening.ts';
import type { RunningFill } from './running-fill.ts';
import { medianOf } from './slope.ts';
import type { Watch } from './watch.ts';

export interface KnockWatch {
  /** Time at which it stood out most, s, when a knock on the pail has just been recognised; at most once in three seconds. */
  push(watch: Watch, now_s: number): number | null;
}

const APART_S = 3;
const LEAST_KG = 0.012;

/**
 * A knock stands out of the line on both sides of it: the readings in the middle of the window lie far from the line through all of
 * them, while the ends lie on it. A start, a stop or a lift bends the line instead and leaves its ends off it.
 */
export function createKnockWatch(): KnockWatch {
  let last_s = -Infinity;
  return {
    push(watch, now_s) {
      if (now_s - last_s < APART_S) return null;
      const { times_s, masses_kg } = watch.history;
      const span_s = Math.max(2, watch.window_s + 0.8);
      const from = watch.history.indexAt(Math.max(now_s - span_s, watch.cleanFrom_s));
      const count = times_s.length - from;
      if (count < 9) return null;
      const third = Math.floor(count / 3);
      const firstTimes = times_s.slice(from, from + third);
      const lastTimes = times_s.slice(-third);
      const t0 = medianOf(firstTimes) ?? 0;
      const t1 = medianOf(lastTimes) ?? 0;
      const m0 = medianOf(masses_kg.slice(from, from + third)) ?? 0;
      const m1 = medianOf(masses_kg.slice(-third)) ?? 0;
      if (t1 <= t0) return null;
      const slope = (m1 - m0) / (t1 - t0);
      const off = (i: number): number =>
        Math.abs((masses_kg[i] ?? 0) - m0 - slope * ((times_s[i] ?? 0) - t0));
      let ends = 0;
      let inside = 0;
      let peak = from;
      for (let i = from; i < times_s.length; i++) {
        const middle = i >= from + third && i < times_s.length - third;
        if (middle && off(i) > inside) {
          inside = off(i);
          peak = i;
        } else if (!middle) ends = Math.max(ends, off(i));
      }
      if (inside < Math.max(LEAST_KG, 4 * watch.step_kg, 3 * ends)) return null;
      last_s = now_s;
      return times_s[peak] ?? now_s;
    },
  };
}

/**
 * The jet's push falls away at shut-off, which looks like a knock while the line still seems to run on: a knock is told once the
 * water has gone on for so long after it that a stop would have been heard, or at the end if the stop has turned out to be later.
 */
export function tellKnock(s: Listening, now: number, fill: RunningFill, stop_s?: number): void {
  if (fill.knocked_s === null) return;
  if (stop_s === undefined) {
    if (s.lowSince_s !== null || now - fill.knocked_s < limits.knockSure_s) return;
  } else if (fill.knocked_s > stop_s - limits.knockBeforeStop_s) {
    fill.knocked_s = null;
    return;
  }
  fill.knocked_s = null;
  fill.warnings.add('bumped-while-filling');
  s.events.push({ kind: 'bumped', at_s: now });
}
