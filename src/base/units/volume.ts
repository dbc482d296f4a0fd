import { LITRE_M3, US_FLUID_OUNCE_M3, US_GALLON_M3 } from './constants.ts';
import { multiple } from './unit.ts';

/**
 * Volume, SI m³. Gallon, quart, pint, fluid ounce, table- and teaspoon are the US customary ones throughout
 * (1 gal = 4 qt = 8 pt = 128 fl oz; 1 fl oz = 2 tbsp = 6 tsp). The imperial pint is 20 imperial fluid ounces and every imperial
 * measure differs: none is used here. For fl oz against oz by weight see mass.ts.
 */
export const volumeUnits = Object.freeze({
  gal: multiple('gal', US_GALLON_M3),
  qt: multiple('qt', US_GALLON_M3 / 4),
  pt: multiple('pt', US_GALLON_M3 / 8),
  fl_oz: multiple('fl oz', US_FLUID_OUNCE_M3),
  tbsp: multiple('tbsp', US_FLUID_OUNCE_M3 / 2),
  tsp: multiple('tsp', US_FLUID_OUNCE_M3 / 6),
  L: multiple('L', LITRE_M3),
  mL: multiple('mL', LITRE_M3 / 1000),
});
export type VolumeUnit = keyof typeof volumeUnits;
