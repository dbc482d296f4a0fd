import type { Random } from './random.ts';

/** A push on the pail that comes and goes, kg of apparent mass at a moment; over for good after `end_s`. */
export interface Shock {
  readonly end_s: number;
  push_kg(t_s: number): number;
}

const smooth = (x: number): number => (x <= 0 ? 0 : x >= 1 ? 1 : x * x * (3 - 2 * x));

/** Wand, hose or foot against the pail: half a sine, 20-300 g either way, 0.15-1 s. */
export function bump(random: Random, at_s: number): Shock {
  const lasts_s = random.uniform(0.15, 1);
  const size_kg = 0.02 * 15 ** random.fraction() * (random.chance(0.5) ? 1 : -1);
  return {
    end_s: at_s + lasts_s,
    push_kg: (t) =>
      t <= at_s || t >= at_s + lasts_s ? 0 : size_kg * Math.sin((Math.PI * (t - at_s)) / lasts_s),
  };
}

/** Somebody leans on the pail or rests the wand there: on within 0.3-1 s, stays 1-6 s, off again. */
export function lean(random: Random, at_s: number): Shock {
  const ramp_s = random.uniform(0.3, 1);
  const stays_s = random.uniform(1, 6);
  const size_kg = 0.1 * 20 ** random.fraction();
  const off_s = at_s + ramp_s + stays_s;
  return {
    end_s: off_s + ramp_s,
    push_kg: (t) => size_kg * (smooth((t - at_s) / ramp_s) - smooth((t - off_s) / ramp_s)),
  };
}

/** Something that rests there from one moment to another, with a ramp at both ends. */
export function restsThere(size_kg: number, on_s: number, off_s: number, ramp_s: number): Shock {
  return {
    end_s: off_s + ramp_s,
    push_kg: (t) => size_kg * (smooth((t - on_s) / ramp_s) - smooth((t - off_s) / ramp_s)),
  };
}

/** Water set swinging: a ringing that dies within a few seconds. */
export function kick(random: Random, at_s: number, size_kg: number, memory_s: number): Shock {
  const frequency_Hz = random.uniform(2, 4);
  const phase = random.uniform(0, 2 * Math.PI);
  return {
    end_s: at_s + 10 * memory_s,
    push_kg: (t) =>
      t < at_s
        ? 0
        : size_kg *
          Math.exp(-(t - at_s) / memory_s) *
          Math.cos(2 * Math.PI * frequency_Hz * (t - at_s) + phase),
  };
}

/** A pail set down: the blow, then the platform's short ringing. */
export function setDown(random: Random, at_s: number): Shock {
  const size_kg = random.uniform(0.1, 0.4);
  return {
    end_s: at_s + 2,
    push_kg: (t) =>
      t < at_s ? 0 : size_kg * Math.exp(-(t - at_s) / 0.12) * Math.cos(2 * Math.PI * 5 * (t - at_s)),
  };
}

/** How much of the load rests on the scale while hands lift the pail (1 to 0) or set it down (0 to 1). */
export function handing(from_s: number, lasts_s: number, downwards: boolean): (t_s: number) => number {
  return (t) => (downwards ? smooth((t - from_s) / lasts_s) : 1 - smooth((t - from_s) / lasts_s));
}
