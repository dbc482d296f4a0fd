import { outlierMask } from '../flow/outlier-mask.ts';
import { firstAtOrAfter } from '../flow/steady-window.ts';
import { bentLine } from './bent-line.ts';

export interface Readings {
  readonly time_s: Float64Array;
  readonly mass_kg: Float64Array;
}

export interface Unbumped extends Readings {
  readonly masked: number;
  readonly maskGaveUp: boolean;
}

/** Readings of a window that show a mass, with bumps left out: the mask of a straight catch, over what a bent line leaves. */
export function unbumped(
  time_s: ArrayLike<number>,
  mass_kg: ArrayLike<number>,
  count: number,
  from_s: number,
  to_s: number,
): Unbumped {
  const times: number[] = [];
  const masses: number[] = [];
  for (let i = firstAtOrAfter(time_s, count, from_s); i < count && time_s[i]! <= to_s; i++) {
    if (!Number.isFinite(mass_kg[i]!)) continue;
    times.push(time_s[i]!);
    masses.push(mass_kg[i]!);
  }
  const all: Readings = { time_s: Float64Array.from(times), mass_kg: Float64Array.from(masses) };
  const line = bentLine(all.time_s, all.mass_kg, 3);
  if (line === null) return { ...all, masked: 0, maskGaveUp: false };
  const mask = outlierMask(all.time_s, line.residuals);
  const wanted = (_value: number, i: number): boolean => mask.keep[i] === 1;
  return {
    time_s: all.time_s.filter(wanted),
    mass_kg: all.mass_kg.filter(wanted),
    masked: mask.masked,
    maskGaveUp: mask.gaveUp,
  };
}
