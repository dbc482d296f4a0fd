import { ordinaryLine } from '../../base/statistics/ordinary-line.ts';
import type { Reading } from '../../signal/reading.ts';
import { Resting } from '../checks/resting.ts';
import type { HeardWater } from '../heard-water.ts';

/** How fast water comes, by what was heard in the last seconds: good enough to tell whether it runs. */
export class SlopeHeard {
  readonly #water: HeardWater;
  readonly #sign: 1 | -1;
  readonly #recent = new Resting();

  /** @param loses the sprayer stands on the scale: what runs out is lost there. */
  constructor(water: HeardWater, loses: boolean) {
    this.#water = water;
    this.#sign = loses ? -1 : 1;
  }

  /** @returns the level that was heard, kg; null where this reading tells none. */
  push(reading: Reading): number | null {
    const heard_kg = this.#water.of(reading);
    if (heard_kg === null) return null;
    this.#recent.push(reading.time_s, this.#sign * heard_kg);
    return this.#sign * heard_kg;
  }

  clear(): void {
    this.#recent.clear();
  }

  /** kg/s over `span_s`, ending `before_s` ago; null before that is full. */
  over(span_s: number, before_s = 0): number | null {
    const { time_s, value } = this.#recent;
    const end_s = (time_s.at(-1) ?? 0) - before_s;
    if (time_s.length === 0 || time_s[0]! > end_s - 0.9 * span_s) return null;
    const from = time_s.findIndex((at_s) => at_s >= end_s - span_s);
    const to = time_s.findLastIndex((at_s) => at_s <= end_s) + 1;
    return ordinaryLine(time_s.slice(from, to), value.slice(from, to))?.slope ?? null;
  }

  flow_m3_per_s(span_s: number): number | null {
    const rate = this.over(span_s);
    return rate === null ? null : Math.max(0, this.#water.halfWidth_m3_per_s(rate));
  }
}
