import type { Readings } from './unbumped.ts';
import type { StrokeMeans } from './stroke-drift.ts';

/** Under these the strokes' own scatter can't be told: no flow. Judgement, no source. */
export const FEWEST_STROKES = 10;
/** The rhythm may be off the beat by this much before it is told; flow goes with the rhythm. Judgement, no source. */
export const OFF_BEAT_SHARE = 0.03;

/** Whole strokes that fit into a stretch. */
export function wholeStrokes(from_s: number, to_s: number, period_s: number): number {
  return period_s > 0 ? Math.max(0, Math.floor((to_s - from_s) / period_s + 1e-9)) : 0;
}

/**
 * What: the mean of the readings over each of `strokes` successive strokes from `from_s` on, and the mean of their times.
 * Purpose: within a stroke the flow and the jet's push swing; over a whole one that is gone.
 * The time is the mean of the same readings, so that a lost one shifts time and mass alike. A stroke without
 * readings is left out.
 */
export function strokeMeans(
  { time_s, mass_kg }: Readings,
  from_s: number,
  period_s: number,
  strokes: number,
): StrokeMeans {
  const times: number[] = [];
  const masses: number[] = [];
  let i = 0;
  for (let stroke = 0; stroke < strokes; stroke++) {
    const end_s = from_s + (stroke + 1) * period_s;
    let n = 0;
    let sumTime = 0;
    let sumMass = 0;
    while (i < time_s.length && time_s[i]! < from_s + stroke * period_s) i++;
    for (; i < time_s.length && time_s[i]! < end_s; i++) {
      n++;
      sumTime += time_s[i]! - from_s;
      sumMass += mass_kg[i]!;
    }
    if (n === 0) continue;
    times.push(from_s + sumTime / n);
    masses.push(sumMass / n);
  }
  return { time_s: times, mass_kg: masses };
}
