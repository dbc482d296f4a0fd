import type { Block } from './block-average.ts';
import { medianOf, theilSenSlope } from './slope.ts';

/** The last blocks, bounded; asked by time, so that dropped readings and any rate do no harm. */
export interface History {
  readonly times_s: readonly number[];
  readonly masses_kg: readonly number[];
  add(block: Block): void;
  clear(): void;
  /** First index with a time not before `time_s`. */
  readonly indexAt: (time_s: number) => number;
  /** Median mass of `from_s` ≤ time < `to_s`, kg; null if empty. */
  readonly level_kg: (from_s: number, to_s: number) => number | null;
  /** Theil-Sen slope of `from_s` ≤ time < `to_s`, kg/s; null with fewer than three blocks. */
  slope_kg_per_s(from_s: number, to_s: number): number | null;
}

/** Fill of up to two minutes at ten blocks a second and the time before it. */
const KEPT = 1500;

export function createHistory(): History {
  const times_s: number[] = [];
  const masses_kg: number[] = [];

  function indexAt(time_s: number): number {
    let low = 0;
    let high = times_s.length;
    while (low < high) {
      const half = (low + high) >> 1;
      if ((times_s[half] ?? 0) < time_s) low = half + 1;
      else high = half;
    }
    return low;
  }

  return {
    times_s,
    masses_kg,
    add(block) {
      times_s.push(block.time_s);
      masses_kg.push(block.mass_kg);
      // Cut seldom and in one piece: amortised constant time.
      if (times_s.length > KEPT + 300) {
        times_s.splice(0, 300);
        masses_kg.splice(0, 300);
      }
    },
    clear() {
      times_s.length = 0;
      masses_kg.length = 0;
    },
    indexAt,
    level_kg: (from_s, to_s) => medianOf(masses_kg.slice(indexAt(from_s), indexAt(to_s))),
    slope_kg_per_s: (from_s, to_s) => theilSenSlope(times_s, masses_kg, indexAt(from_s), indexAt(to_s)),
  };
}
