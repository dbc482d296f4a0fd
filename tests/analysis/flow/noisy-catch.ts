import { Random } from '../../../src/simulation/random.ts';

export interface NoisyCatch {
  readonly time_s: Float64Array;
  readonly mass_kg: Float64Array;
}

/** A straight rise at `rate_Hz` with white or AR(1) noise, seeded; the mass starts to rise at `start_s` and stops at `stop_s`. */
export function noisyCatch(options: {
  readonly seed: number;
  readonly flow_kg_per_s: number;
  readonly start_s: number;
  readonly stop_s: number;
  readonly rate_Hz: number;
  readonly noise_kg: number;
  /** Correlation from one reading to the next, 0 = white. */
  readonly memory?: number;
  readonly jet_kg?: number;
}): NoisyCatch {
  const random = new Random(options.seed);
  const n = Math.round((options.stop_s + 5) * options.rate_Hz);
  const time_s = new Float64Array(n);
  const mass_kg = new Float64Array(n);
  const rho = options.memory ?? 0;
  let noise = random.normal();
  for (let i = 0; i < n; i++) {
    const t = i / options.rate_Hz;
    noise = rho * noise + Math.sqrt(1 - rho * rho) * random.normal();
    const running_s = Math.min(Math.max(t - options.start_s, 0), options.stop_s - options.start_s);
    const on = t >= options.start_s && t <= options.stop_s;
    time_s[i] = t;
    mass_kg[i] =
      5 + options.flow_kg_per_s * running_s + (on ? (options.jet_kg ?? 0) : 0) + options.noise_kg * noise;
  }
  return { time_s, mass_kg };
}
