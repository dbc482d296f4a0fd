import type { Watch } from './watch.ts';

/** Index of the last block before the fall that ends now: walks back down the steep part. -1 when there is none. */
export function lastBlockBeforeFall(watch: Watch, floor_kg: number): number {
  const { masses_kg } = watch.history;
  const steep_kg = watch.levelTolerance_kg(2, 0.004);
  let i = masses_kg.length - 1;
  while (i >= 0 && (masses_kg[i] ?? 0) < floor_kg) i--;
  while (i > 0 && (masses_kg[i] ?? 0) < (masses_kg[i - 1] ?? 0) - steep_kg) i--;
  return i;
}

export interface AwayWatch {
  /** One block while the pail is off; its new level once something stands there again, else null. */
  push(watch: Watch, time_s: number, mass_kg: number): number | null;
  /** Reading of the empty platform so far, kg. */
  readonly empty_kg: number;
}

/** Waits for the pail to come back: well above the empty platform, and steady, or long enough. */
export function createAwayWatch(
  rules: {
    readonly replaced_kg: number;
    readonly replacedSteady_s: number;
    readonly replacedAtLast_s: number;
  },
  emptyAtFirst_kg: number,
): AwayWatch {
  let empty_kg = emptyAtFirst_kg;
  let up_s: number | null = null;
  return {
    get empty_kg() {
      return empty_kg;
    },
    push(watch, time_s, mass_kg) {
      if (mass_kg < empty_kg + rules.replaced_kg) {
        up_s = null;
        // Settles towards the lower side: what still rings above is the hand that takes the pail away.
        empty_kg = mass_kg < empty_kg ? mass_kg : empty_kg + 0.1 * (mass_kg - empty_kg);
        return null;
      }
      up_s ??= time_s;
      const upFor_s = time_s - up_s;
      const range_kg = watch.range_kg(time_s, rules.replacedSteady_s);
      const steady =
        upFor_s >= rules.replacedSteady_s &&
        range_kg !== null &&
        range_kg <= watch.levelTolerance_kg(4, 0.008);
      if (!steady && upFor_s < rules.replacedAtLast_s) return null;
      watch.cleanFrom_s = steady ? time_s - rules.replacedSteady_s : up_s + 0.6;
      return watch.history.level_kg(time_s - rules.replacedSteady_s, time_s + 1e-6) ?? mass_kg;
    },
  };
}
