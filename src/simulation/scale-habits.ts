import type { Random } from './random.ts';
import type { ScaleHabit } from './scenario.ts';

/** What a display makes of the averaged mass, reading by reading, before rounding. */
export type Display = (time_s: number, mass_kg: number) => number;

/** A display with one of the habits that break estimators; without one it shows what it is given. */
export function displayOf(habit: ScaleHabit | undefined, step_kg: number, random: Random): Display {
  switch (habit) {
    case 'freezes':
      return freezing(random);
    case 'tracks-zero':
      return tracking(step_kg);
    case undefined:
      return (_, mass_kg) => mass_kg;
  }
}

function freezing(random: Random): Display {
  let held_kg = 0;
  let from_s = random.uniform(2, 10);
  let to_s = from_s + random.uniform(1, 3);
  return (time_s, mass_kg) => {
    if (time_s > to_s) {
      from_s = to_s + random.uniform(3, 11);
      to_s = from_s + random.uniform(1, 3);
    }
    if (time_s < from_s) held_kg = mass_kg;
    return held_kg;
  };
}

const LOOKED_AT_S = 1;

function tracking(step_kg: number): Display {
  let swallowed_kg = 0;
  const seen: { time_s: number; mass_kg: number }[] = [];
  return (time_s, mass_kg) => {
    const last = seen.at(-1);
    seen.push({ time_s, mass_kg });
    while (seen[0] !== undefined && seen[0].time_s < time_s - LOOKED_AT_S) seen.shift();
    const masses = seen.map((sample) => sample.mass_kg);
    const calm = Math.max(...masses) - Math.min(...masses) < step_kg / 2;
    if (calm && last !== undefined) swallowed_kg += mass_kg - last.mass_kg;
    return mass_kg - swallowed_kg;
  };
}
