/** Levels at which the pail stood still, newest last: tells a hand taken away from a pail taken away, a push from water. */
export interface RestLevels {
  note(time_s: number, level_kg: number): void;
  /** Was this level seen before, and above `base_kg`? */
  seenAbove(level_kg: number, base_kg: number, tolerance_kg: number): boolean;
  /** Did the pail stand at this level within the last `within_s`, before it stood where it stands now? */
  stoodAt(level_kg: number, tolerance_kg: number, now_s: number, within_s: number): boolean;
  /** Lowest of them, kg; infinite without any. */
  readonly lowest_kg: number;
  clear(): void;
}

const KEPT = 6;
const SAME_KG = 0.006;

export function createRestLevels(): RestLevels {
  let lowest_kg = Infinity;
  let rests: { level_kg: number; until_s: number }[] = [];
  return {
    note(time_s, level_kg) {
      lowest_kg = Math.min(lowest_kg, level_kg);
      const newest = rests[rests.length - 1];
      if (newest !== undefined && Math.abs(newest.level_kg - level_kg) < SAME_KG) {
        rests[rests.length - 1] = { level_kg, until_s: time_s };
        return;
      }
      rests.push({ level_kg, until_s: time_s });
      if (rests.length > KEPT) rests.shift();
    },
    seenAbove: (level_kg, base_kg, tolerance_kg) =>
      rests.some(
        (rest) =>
          rest.level_kg > base_kg + 2 * tolerance_kg && Math.abs(rest.level_kg - level_kg) <= tolerance_kg,
      ),
    stoodAt: (level_kg, tolerance_kg, now_s, within_s) =>
      rests.some(
        (rest) => now_s - rest.until_s <= within_s && Math.abs(rest.level_kg - level_kg) <= tolerance_kg,
      ),
    get lowest_kg() {
      return lowest_kg;
    },
    clear() {
      lowest_kg = Infinity;
      rests = [];
    },
  };
}
