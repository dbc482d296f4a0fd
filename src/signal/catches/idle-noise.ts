import { medianOf } from './slope.ts';

export interface IdleNoise {
  /** One causal slope while nothing is poured, kg/s. */
  push(slope_kg_per_s: number): void;
  /** Standard deviation of the idle slope by MAD × 1.4826, kg/s; 0 before ten slopes are in. */
  readonly slopeSd_kg_per_s: number;
}

const REMEMBERED = 80;

/** How much the slope wanders with no water: wind, a shaky table, the converter's noise. Robust, so that knocks don't count. */
export function createIdleNoise(): IdleNoise {
  const slopes: number[] = [];
  let sinceLook = 0;
  let sd = 0;
  return {
    push(slope_kg_per_s) {
      slopes.push(slope_kg_per_s);
      if (slopes.length > REMEMBERED) slopes.shift();
      if (++sinceLook < 10) return;
      sinceLook = 0;
      const centre = medianOf(slopes) ?? 0;
      sd = 1.4826 * (medianOf(slopes.map((slope) => Math.abs(slope - centre))) ?? 0);
    },
    get slopeSd_kg_per_s() {
      return sd;
    },
  };
}
