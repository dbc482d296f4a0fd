import { limits } from './limits.ts';

export interface TareWatch {
  /**
   * One reading. `flow_kg_per_s` is the slope of a running fill, 0 when none runs; `base_kg` its level before the start.
   * 'pending' while a jump to zero has been seen and is not judged yet.
   */
  push(time_s: number, mass_kg: number, step_kg: number, flow_kg_per_s: number, base_kg: number): TareVerdict;
  readonly pending: boolean;
  /** Last reading before the jump that is judged, s. */
  readonly before_s: number;
  clear(): void;
}

export type TareVerdict = 'none' | 'pending' | 'tared';

const LEAST_JUMP_KG = 0.03;

/**
 * Notices a tare that nobody announced: a level that is on zero, to a step, from one reading to the next, and stays there or rises
 * from there like the running water. A lift falls over several readings, and from a tared pail it lands below zero;
 * a lift within one reading from an untared pail looks the same and does no harm: the pail coming back is a new level.
 */
export function createTareWatch(): TareWatch {
  let last: { time_s: number; mass_kg: number } | null = null;
  let beforeLast_kg = 0;
  let since_s: number | null = null;
  let before_s = 0;
  let worst_kg = 0;
  let newest_kg = 0;

  function clear(): void {
    last = null;
    since_s = null;
  }

  return {
    push(time_s, mass_kg, step_kg, flow_kg_per_s, base_kg) {
      const previous = last;
      last = { time_s, mass_kg };
      const slack_kg = Math.max(1.01 * step_kg, 0.0006);
      if (since_s === null) {
        if (previous === null) return 'none';
        const poured_kg = 2 * flow_kg_per_s * (time_s - previous.time_s);
        const jumped = Math.abs(previous.mass_kg - mass_kg) >= LEAST_JUMP_KG + poured_kg;
        const wasFalling = previous.mass_kg < beforeLast_kg - Math.max(2 * step_kg, 0.003);
        beforeLast_kg = previous.mass_kg;
        if (!jumped || wasFalling || mass_kg > slack_kg + poured_kg || mass_kg < -slack_kg) return 'none';
        since_s = time_s;
        before_s = previous.time_s;
        worst_kg = 0;
        return 'pending';
      }
      const lasted_s = time_s - since_s;
      newest_kg = mass_kg;
      const offZero_kg =
        mass_kg < 0 ? -mass_kg : Math.max(0, mass_kg - 1.6 * flow_kg_per_s * (lasted_s + 0.2));
      worst_kg = Math.max(worst_kg, offZero_kg);
      if (worst_kg > 2 * slack_kg + 0.001) {
        since_s = null;
        return 'none';
      }
      if (lasted_s < limits.tareHold_s) return 'pending';
      since_s = null;
      const rises = newest_kg > 0.4 * flow_kg_per_s * lasted_s + slack_kg;
      return flow_kg_per_s === 0 || rises || Math.abs(base_kg) < LEAST_JUMP_KG ? 'tared' : 'none';
    },
    get pending() {
      return since_s !== null;
    },
    get before_s() {
      return before_s;
    },
    clear,
  };
}
