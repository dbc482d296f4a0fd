import { medianOf } from './slope.ts';

export interface IdleNoise {
  /** One causal slope while nothing is poured, kg/s. True when the standard deviation was renewed. */
  push(slope_kg_per_s: number): boolean;
  /** As many slopes as are ever looked at. */
  readonly isFull: boolean;
  /** Slopes come over another time from now on: begin anew, with the scatter to expect. */
  rescale(times: number): void;
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
      if (++sinceLook < 10) return false;
      sinceLook = 0;
      const centre = medianOf(slopes) ?? 0;
      sd = 1.4826 * (medianOf(slopes.map((slope) => Math.abs(slope - centre))) ?? 0);
      return true;
    },
    get isFull() {
      return slopes.length >= REMEMBERED;
    },
    rescale(times) {
      slopes.length = 0;
      sinceLook = -30;
      sd *= times;
    },
    get slopeSd_kg_per_s() {
      return sd;
    },
  };
}
