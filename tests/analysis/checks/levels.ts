import { quietLevel, type QuietLevel } from '../../../src/analysis/checks/quiet-level.ts';
import { Random } from '../../../src/simulation/random.ts';

export interface Idle {
  readonly level_kg: number;
  readonly seed?: number;
  readonly rate_Hz?: number;
  readonly step_kg?: number;
  readonly noise_kg?: number;
  readonly averaged?: number;
  /** AR(1) force on top: standard deviation and memory. */
  readonly wind?: readonly [number, number];
  readonly drift_kg?: number;
}

/** Ten seconds of a scale that stands still: white noise, its own moving average, then rounding to the step. */
export function idle(script: Idle): { time_s: number[]; mass_kg: number[] } {
  const { rate_Hz = 10, step_kg = 1e-3, noise_kg = 0.8e-3, averaged = 4 } = script;
  const random = new Random(script.seed ?? 1).stream('idle');
  const recent: number[] = [];
  const time_s: number[] = [];
  const mass_kg: number[] = [];
  const [windSd, memory_s] = script.wind ?? [0, 1];
  const kept = Math.exp(-1 / (rate_Hz * memory_s));
  let gust = windSd * random.normal();
  for (let i = -averaged; i < 10 * rate_Hz; i += 1) {
    gust = kept * gust + windSd * Math.sqrt(1 - kept * kept) * random.normal();
    const drift = (script.drift_kg ?? 0) * (i / (10 * rate_Hz) - 0.5);
    recent.push(script.level_kg + gust + drift + noise_kg * random.normal());
    if (recent.length > averaged) recent.shift();
    if (i < 0) continue;
    const mean = recent.reduce((sum, x) => sum + x, 0) / recent.length;
    time_s.push(i / rate_Hz);
    mass_kg.push(step_kg > 0 ? Math.round(mean / step_kg) * step_kg : mean);
  }
  return { time_s, mass_kg };
}

export function levelOf(script: Idle, expected_kg = 2): QuietLevel {
  const { time_s, mass_kg } = idle(script);
  const { step_kg = 1e-3, averaged = 4 } = script;
  const level = quietLevel(time_s, mass_kg, 0, { step_kg, averagedReadings: averaged, expected_kg });
  if (!level.ok) throw new Error(level.because);
  return level.value;
}
