/** A hand-made stretch of a scale's display. Lengths in seconds, masses in grams as a person would say it. */
export type Stretch =
  | { readonly flat_s: number }
  | { readonly pour_g_per_s: number; readonly lasts_s: number; readonly jet_g?: number }
  /** The level glides to another: a push, a lift, a pail set down. */
  | { readonly to_g: number; readonly within_s: number }
  /** From one reading to the next. */
  | { readonly jump_g: number }
  | { readonly missing_s: number }
  | { readonly nothing_s: number };

export interface TraceOptions {
  readonly rate_Hz?: number;
  readonly step_g?: number;
  readonly noise_g?: number;
  readonly averaged?: number;
  readonly seed?: number;
  readonly start_g?: number;
}

export interface TracePoint {
  readonly time_s: number;
  /** Null: a reading came, but no number. */
  readonly mass_kg: number | null;
}

/** Small linear congruential generator: enough for flicker, and the same on every machine. */
export function seeded(seed: number): () => number {
  let state = (seed * 2654435761 + 12345) >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

/**
 * Readings for stretches in a row: `trace([{ flat_s: 5 }, { pour_g_per_s: 20, lasts_s: 30 }, { flat_s: 5 }])`.
 * A jet presses while it pours. Noise is seeded and roughly normal, averaged and rounded as a scale would.
 */
export function trace(stretches: readonly Stretch[], options: TraceOptions = {}): TracePoint[] {
  const { rate_Hz = 10, step_g = 1, noise_g = 0.5, averaged = 1, seed = 1, start_g = 500 } = options;
  const random = seeded(seed);
  const normal = (): number => {
    let sum = -6;
    for (let i = 0; i < 12; i++) sum += random();
    return sum;
  };
  const points: TracePoint[] = [];
  const recent: number[] = [];
  let reading = 0;
  let begun_s = 0;
  let level_g = start_g;
  for (const stretch of stretches) {
    const lasts_s = lengthOf(stretch);
    const from_g = level_g;
    const at = (t: number): number => levelIn(stretch, from_g, t);
    while (reading / rate_Hz < begun_s + lasts_s - 1e-9) {
      const time_s = reading++ / rate_Hz;
      recent.push(at(time_s - begun_s) + noise_g * normal());
      if (recent.length > averaged) recent.shift();
      if ('missing_s' in stretch) continue;
      const mean_g = recent.reduce((sum, value) => sum + value, 0) / recent.length;
      const mass_kg = 'nothing_s' in stretch ? null : (Math.round(mean_g / step_g) * step_g) / 1000;
      points.push({ time_s, mass_kg });
    }
    begun_s += lasts_s;
    level_g = endOf(stretch, from_g);
  }
  return points;
}

function lengthOf(stretch: Stretch): number {
  if ('flat_s' in stretch) return stretch.flat_s;
  if ('pour_g_per_s' in stretch) return stretch.lasts_s;
  if ('to_g' in stretch) return stretch.within_s;
  if ('missing_s' in stretch) return stretch.missing_s;
  return 'nothing_s' in stretch ? stretch.nothing_s : 0;
}

function levelIn(stretch: Stretch, from_g: number, t: number): number {
  if ('pour_g_per_s' in stretch) return from_g + stretch.pour_g_per_s * t + (stretch.jet_g ?? 0);
  if ('to_g' in stretch) return from_g + ((stretch.to_g - from_g) * t) / stretch.within_s;
  return from_g;
}

function endOf(stretch: Stretch, from_g: number): number {
  if ('pour_g_per_s' in stretch) return from_g + stretch.pour_g_per_s * stretch.lasts_s;
  if ('to_g' in stretch) return stretch.to_g;
  return 'jump_g' in stretch ? from_g + stretch.jump_g : from_g;
}
