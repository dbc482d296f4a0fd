import { LITRE_M3, MINUTE_S, US_FLUID_OUNCE_M3, US_GALLON_M3 } from './constants.ts';
import { multiple } from './unit.ts';

/**
 * Flow, SI m³/s.
 *
 * "gal" is the US gallon, 3.785411784 L. The imperial gallon is 4.54609 L, a fifth more: a tip's stamp of 0.2 gal/min is US by the
 * trade's habit (common practice, no source), and nothing here reads or writes imperial gallons.
 *
 * "fl oz" is the US fluid ounce, a VOLUME (1/128 gal, 29.5735 mL); the rounded 30 mL is 1.4 % too much. The ounce of a scale ("oz" in
 * mass.ts) is a mass. A fluid ounce of water weighs 1.04 oz, so taking one for the other is a 4 % error.
 */
export const flowUnits = Object.freeze({
  gal_per_min: multiple('gal/min', US_GALLON_M3 / MINUTE_S),
  fl_oz_per_min: multiple('fl oz/min', US_FLUID_OUNCE_M3 / MINUTE_S),
  L_per_min: multiple('L/min', LITRE_M3 / MINUTE_S),
  mL_per_min: multiple('mL/min', LITRE_M3 / 1000 / MINUTE_S),
});
export type FlowUnit = keyof typeof flowUnits;
