import { jetPush_kg } from '../../analysis/flow/jet-allowance.ts';
import { lineAt, ordinaryLine } from '../../base/statistics/ordinary-line.ts';
import type { Reading } from '../../signal/reading.ts';
import { Resting } from '../checks/resting.ts';
import type { HeardWater } from '../heard-water.ts';

/** A level that has risen by this has water on it. */
const LEAST_RISE_KG = 5e-3;
const LINE_S = 3;
/** At rest for so long, or nearly. */
const REST_S = 1;
const REST_SHARE = 0.2;

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

  /**
   * How hard a jet that came in the last seconds pushes on the pail: the line it makes, carried back to where the level left what it was
   * before. Null: what it was before is not remembered, or was no rest.
   */
  push_kg(rate_kg_per_s: number): number | null {
    const { time_s, value } = this.#recent;
    const first_s = time_s[0] ?? 0;
    const newest_s = time_s.at(-1) ?? 0;
    const part = (from_s: number, to_s: number): readonly [number[], number[]] => {
      const isIn = (at_s: number): boolean => at_s >= from_s && at_s <= to_s;
      return [time_s.filter(isIn), value.filter((_, i) => isIn(time_s[i]!))];
    };
    const before = ordinaryLine(...part(first_s, first_s + REST_S));
    const since = ordinaryLine(...part(newest_s - LINE_S, newest_s));
    if (before === null || since === null || Math.abs(before.slope) > REST_SHARE * rate_kg_per_s) return null;
    const onset = value.findLastIndex((level_kg) => level_kg <= before.meanY + LEAST_RISE_KG);
    if (onset < 0 || time_s[onset]! < first_s + REST_S) return null;
    return jetPush_kg({
      lineAtStart_kg: lineAt(since, time_s[onset]!),
      before_kg: before.meanY,
      massFlow_kg_per_s: rate_kg_per_s,
      averagedReadings: this.#water.averagedReadings,
      period_s: (newest_s - first_s) / Math.max(1, time_s.length - 1),
    });
  }

  /** Volume flow of a mean rate, a checked meter's offset in it. */
  flowOf_m3_per_s(rate_kg_per_s: number): number {
    return this.#water.flow_m3_per_s(rate_kg_per_s);
  }

  flow_m3_per_s(span_s: number): number | null {
    const rate = this.over(span_s);
    return rate === null ? null : Math.max(0, this.#water.halfWidth_m3_per_s(rate));
  }
}
