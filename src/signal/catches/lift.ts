import { limits } from './limits.ts';
import { lineThrough } from './running-fill.ts';
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

/** What stands on the platform again: a pail, or the water's own slow rise (then it never was away). */
export interface Back {
  readonly level_kg: number;
  /** For a rise: where it left the resting platform, s; null if that never rested. */
  readonly rising: { readonly from_s: number | null; readonly base_kg?: number } | null;
}

export interface AwayWatch {
  /** One block while the pail is off; what is there once something stands there again, else null. */
  push(watch: Watch, time_s: number, mass_kg: number): Back | null;
  /** Reading of the empty platform so far, kg. */
  readonly empty_kg: number;
}

/**
 * Waits for the pail to come back: well above the empty platform, and steady, or long enough. A pail comes down at once; what only
 * climbs from the platform's own level is water into a pail that is there (a scale set to zero, or another pail put in its place).
 */
export function createAwayWatch(
  rules: {
    readonly replaced_kg: number;
    readonly replacedSteady_s: number;
    readonly replacedAtLast_s: number;
    readonly awayRings_s: number;
    readonly neverLifted_s: number;
  },
  emptyAtFirst_kg: number,
  /** Level before the lift, if it was known. */
  before_kg: number | null = null,
): AwayWatch {
  let empty_kg = emptyAtFirst_kg;
  let up_s: number | null = null;
  let rested_s: number | null = null;
  let begun_s: number | null = null;
  return {
    get empty_kg() {
      return empty_kg;
    },
    push(watch, time_s, mass_kg) {
      if (before_kg !== null && standsAt(watch, before_kg, time_s, rules.neverLifted_s)) {
        watch.cleanFrom_s = time_s - rules.neverLifted_s;
        return { level_kg: before_kg, rising: null };
      }
      const range_kg = watch.range_kg(time_s, rules.replacedSteady_s);
      const still = range_kg !== null && range_kg <= watch.levelTolerance_kg(4, 0.008);
      if (mass_kg < empty_kg + rules.replaced_kg) {
        up_s = null;
        begun_s ??= time_s;
        // Settles towards the lower side: what still rings above is the hand that takes the pail away. Later only while nothing
        // rises, for water that runs must not take the platform's level along with it.
        if (mass_kg < empty_kg) empty_kg = mass_kg;
        else if (time_s - begun_s < rules.awayRings_s || watch.slope_kg_per_s < watch.threshold_kg_per_s)
          empty_kg += 0.1 * (mass_kg - empty_kg);
        if (still) rested_s = time_s;
        return null;
      }
      up_s ??= time_s;
      const upFor_s = time_s - up_s;
      const steady = upFor_s >= rules.replacedSteady_s && still;
      if (!steady && upFor_s < rules.replacedAtLast_s) return null;
      const level_kg = watch.history.level_kg(time_s - rules.replacedSteady_s, time_s + 1e-6) ?? mass_kg;
      if (!steady && isWater(watch, up_s, time_s, empty_kg + rules.replaced_kg)) {
        if (rested_s !== null)
          return {
            level_kg,
            rising: { from_s: lastAt(watch, empty_kg + watch.levelTolerance_kg(2, 0.004)) },
          };
        // A knock upwards while the water began: it rises from the level before, which was left only for a moment.
        const left_s =
          before_kg === null ? null : lastAt(watch, before_kg + watch.levelTolerance_kg(2, 0.004));
        if (
          before_kg === null ||
          left_s === null ||
          left_s < up_s - 1 ||
          time_s - left_s > limits.knockedAway_s ||
          time_s - left_s < limits.knockedRise_s
        )
          return { level_kg, rising: { from_s: null } };
        watch.cleanFrom_s = left_s - 0.3;
        return { level_kg, rising: { from_s: left_s, base_kg: before_kg } };
      }
      watch.cleanFrom_s = steady ? time_s - rules.replacedSteady_s : up_s + 0.6;
      return { level_kg, rising: null };
    },
  };
}

function standsAt(watch: Watch, level_kg: number, now_s: number, lasting_s: number): boolean {
  const { masses_kg, times_s, indexAt } = watch.history;
  const from = indexAt(now_s - lasting_s);
  if (from === 0 || times_s.length - from < 3) return false;
  const tolerance_kg = watch.levelTolerance_kg(2, 0.004);
  return masses_kg.slice(from).every((mass_kg) => Math.abs(mass_kg - level_kg) <= tolerance_kg);
}

/** A straight climb of some seconds from the platform's level: neither a pail that is put down nor a hand. */
function isWater(watch: Watch, from_s: number, to_s: number, above_kg: number): boolean {
  const line = lineThrough(watch, from_s, to_s + 1e-6);
  if (line === null) return false;
  const rise_kg = line.flow_kg_per_s * (to_s - from_s);
  const away_kg = Math.abs(line.at_kg(from_s) - above_kg);
  return (
    rise_kg > 0 && Math.max(line.crooked_kg, away_kg / 3) <= Math.max(limits.crookedShare * rise_kg, 0.006)
  );
}

function lastAt(watch: Watch, level_kg: number): number | null {
  const { times_s, masses_kg } = watch.history;
  return times_s[masses_kg.findLastIndex((mass_kg) => mass_kg <= level_kg)] ?? null;
}
