/** How well the dial goes back to a mark, as this sweep saw it. Trade language; the interval one step deeper. */
import type { CurvePicture } from '../contract.ts';
import { fixed, significant } from './number.ts';
import type { ShownUnits } from './units.ts';

type DialRepeats = NonNullable<CurvePicture['dialRepeats']>;

/** "This dial goes back to a mark within 1.4 psi, two times in three." */
export function dialRepeatsSentence(repeats: DialRepeats, units: ShownUnits): string {
  const { label } = units.pressure;
  const found = units.pressure.fromSI(repeats.standardDeviation_Pa);
  const highest = units.pressure.fromSI(repeats.highest_Pa);
  if (repeats.lowest_Pa === 0) {
    return `This dial goes back to a mark within ${significant(highest, 2)} ${label} or better, two times in three; the catches scatter too much to say how much better.`;
  }
  return `This dial goes back to a mark within ${significant(found, 2)} ${label}, two times in three.`;
}

/** "Between 1.0 and 2.3 psi at 95 %; 1.5 psi was told." */
export function dialRepeatsDetail(repeats: DialRepeats, units: ShownUnits): string {
  const { label } = units.pressure;
  const shown = (pressure_Pa: number): string => significant(units.pressure.fromSI(pressure_Pa), 2);
  return `Between ${shown(repeats.lowest_Pa)} and ${shown(repeats.highest_Pa)} ${label} at 95 %, from ${fixed(repeats.degreesOfFreedom, 0)} repeats; ${shown(repeats.stated_Pa)} ${label} was told.`;
}
