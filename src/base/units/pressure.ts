import { BAR_PA, PSI_PA } from './constants.ts';
import { multiple } from './unit.ts';

/**
 * Pressure, SI Pa. Always GAUGE pressure (above the air's), as dials show it; psi here is psig. Absolute pressure is not used.
 */
export const pressureUnits = Object.freeze({
  psi: multiple('psi', PSI_PA),
  bar: multiple('bar', BAR_PA),
  kPa: multiple('kPa', 1000),
});
export type PressureUnit = keyof typeof pressureUnits;
