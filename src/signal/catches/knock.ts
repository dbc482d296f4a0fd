import { medianOf } from './slope.ts';
import type { Watch } from './watch.ts';

export interface KnockWatch {
  /** True when a knock on the pail has just been recognised; at most once in three seconds. */
  push(watch: Watch, now_s: number): boolean;
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
      if (now_s - last_s < APART_S) return false;
      const { times_s, masses_kg } = watch.history;
      const span_s = Math.max(2, watch.window_s + 0.8);
      const from = watch.history.indexAt(Math.max(now_s - span_s, watch.cleanFrom_s));
      const count = times_s.length - from;
      if (count < 9) return false;
      const third = Math.floor(count / 3);
      const firstTimes = times_s.slice(from, from + third);
      const lastTimes = times_s.slice(-third);
      const t0 = medianOf(firstTimes) ?? 0;
      const t1 = medianOf(lastTimes) ?? 0;
      const m0 = medianOf(masses_kg.slice(from, from + third)) ?? 0;
      const m1 = medianOf(masses_kg.slice(-third)) ?? 0;
      if (t1 <= t0) return false;
      const slope = (m1 - m0) / (t1 - t0);
      const off = (i: number): number =>
        Math.abs((masses_kg[i] ?? 0) - m0 - slope * ((times_s[i] ?? 0) - t0));
      let ends = 0;
      let inside = 0;
      for (let i = from; i < times_s.length; i++) {
        const middle = i >= from + third && i < times_s.length - third;
        if (middle) inside = Math.max(inside, off(i));
        else ends = Math.max(ends, off(i));
      }
      if (inside < Math.max(LEAST_KG, 4 * watch.step_kg, 3 * ends)) return false;
      last_s = now_s;
      return true;
    },
  };
}
