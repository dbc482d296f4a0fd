import { limits } from './limits.ts';

export interface FrozenDisplay {
  /**
   * One reading during a fill of known slope. Gives the seconds for which the display stood still although the water ran: known
   * when the reading jumps on to where the running water would have brought it. Otherwise null.
   */
  push(time_s: number, mass_kg: number, flow_kg_per_s: number, step_kg: number): number | null;
  /** Seconds of identical readings so far. */
  readonly identicalFor_s: number;
  readonly identicalSince_s: number;
  readonly held_kg: number;
}

/** Some scales hold their display while the load moves; a slope through such a stretch is wrong (measurement.md 10). */
export function createFrozenDisplay(): FrozenDisplay {
  let since_s = 0;
  let last_s = 0;
  let held_kg: number | null = null;
  return {
    push(time_s, mass_kg, flow_kg_per_s, step_kg) {
      const before_kg = held_kg;
      const heldFor_s = last_s - since_s;
      last_s = time_s;
      if (mass_kg === held_kg) return null;
      const started_s = since_s;
      held_kg = mass_kg;
      since_s = time_s;
      if (before_kg === null || flow_kg_per_s <= 0) return null;
      if (heldFor_s < Math.max(limits.heldLeast_s, (5 * step_kg) / flow_kg_per_s)) return null;
      const missed_kg = flow_kg_per_s * (time_s - started_s);
      const jump_kg = mass_kg - before_kg;
      return Math.abs(jump_kg - missed_kg) <= 0.25 * missed_kg + 3 * step_kg ? heldFor_s : null;
    },
    get identicalFor_s() {
      return last_s - since_s;
    },
    get identicalSince_s() {
      return since_s;
    },
    get held_kg() {
      return held_kg ?? 0;
    },
  };
}
