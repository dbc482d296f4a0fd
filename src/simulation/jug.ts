import type { Random } from './random.ts';

/** Water from a jug, poured by hand into the pail in a gap between two fills. */
export interface JugPour {
  readonly start_s: number;
  readonly stop_s: number;
  readonly water_kg: number;
  delivered_kg(t_s: number): number;
}

export interface JugHabits {
  /** Chance of one in the gap before a fill. */
  readonly chance: number;
  readonly water_kg: readonly [number, number];
  readonly flow_kg_per_s: readonly [number, number];
}

const GRID_S = 0.05;
/** A hand that tilts a jug: it swells and ebbs by a third, with a memory of about a second and a half. */
const SWELLS = 0.33;
const MEMORY_S = 1.5;
const RISE_S = 0.8;
const TAPER_S = 1.5;

/**
 * One jug emptied into the pail: rises within a second, swells and ebbs while the hand finds its tilt, tapers off as the jug runs dry.
 * No jet: the water falls a hand's width. All of it reasoning about hands, none measured.
 */
export function pourJug(habits: JugHabits, random: Random, start_s: number): JugPour {
  const water_kg = random.within(habits.water_kg);
  const lasts_s = Math.min(25, Math.max(3, water_kg / random.within(habits.flow_kg_per_s)));
  const count = Math.ceil(lasts_s / GRID_S);
  const keep = Math.exp(-GRID_S / MEMORY_S);
  const shares = new Float64Array(count + 1);
  let swell = random.normal();
  for (let i = 1; i <= count; i += 1) {
    swell = keep * swell + Math.sqrt(1 - keep * keep) * random.normal();
    const t = i * GRID_S;
    const shape = Math.min(1, t / RISE_S) * Math.min(1, (lasts_s - t + GRID_S) / TAPER_S);
    shares[i] = (shares[i - 1] ?? 0) + Math.max(0.05, 1 + SWELLS * swell) * Math.max(0, shape);
  }
  const whole = shares[count] ?? 1;
  return {
    start_s,
    stop_s: start_s + lasts_s,
    water_kg,
    delivered_kg: (t_s) => {
      const at = (t_s - start_s) / GRID_S;
      if (at <= 0) return 0;
      if (at >= count) return water_kg;
      const i = Math.floor(at);
      const low = shares[i] ?? 0;
      return (water_kg * (low + (at - i) * ((shares[i + 1] ?? whole) - low))) / whole;
    },
  };
}
