import { LITRE_M3, US_FLUID_OUNCE_M3, US_GALLON_M3 } from './constants.ts';
import { ACRE_M2, HECTARE_M2, SQUARE_FOOT_M2 } from './length-area-speed.ts';
import { multiple } from './unit.ts';

/**
 * Water per area, SI m³/m² (that is metres of depth). Gallons are US.
 * 1 gal/1000 ft² = 43.56 gal/ac. The turf constant "136" in print is 5940/43.56 = 136.36 rounded, 0.27 % low: never used here.
 */
export const applicationVolumeUnits = Object.freeze({
  gal_per_1000_ft2: multiple('gal/1000 ft²', US_GALLON_M3 / (1000 * SQUARE_FOOT_M2)),
  fl_oz_per_1000_ft2: multiple('fl oz/1000 ft²', US_FLUID_OUNCE_M3 / (1000 * SQUARE_FOOT_M2)),
  gal_per_acre: multiple('gal/ac', US_GALLON_M3 / ACRE_M2),
  L_per_100_m2: multiple('L/100 m²', LITRE_M3 / 100),
  L_per_ha: multiple('L/ha', LITRE_M3 / HECTARE_M2),
});
export type ApplicationVolumeUnit = keyof typeof applicationVolumeUnits;
