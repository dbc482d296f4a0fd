import { FOOT_M } from './constants.ts';
import { multiple } from './unit.ts';

/** Lengths, SI m. The foot is the international one, 0.3048 m exactly; the US survey foot (2 ppm longer) makes no difference here. */
export const lengthUnits = Object.freeze({
  ft: multiple('ft', FOOT_M),
  in: multiple('in', FOOT_M / 12),
  m: multiple('m', 1),
  cm: multiple('cm', 0.01),
});
export type LengthUnit = keyof typeof lengthUnits;

export const SQUARE_FOOT_M2 = FOOT_M * FOOT_M;
/** 43,560 ft² exactly. */
export const ACRE_M2 = 43_560 * SQUARE_FOOT_M2;
export const HECTARE_M2 = 10_000;

/** Areas, SI m². */
export const areaUnits = Object.freeze({
  ft2: multiple('ft²', SQUARE_FOOT_M2),
  thousand_ft2: multiple('1000 ft²', 1000 * SQUARE_FOOT_M2),
  acre: multiple('ac', ACRE_M2),
  m2: multiple('m²', 1),
  hundred_m2: multiple('100 m²', 100),
  hectare: multiple('ha', HECTARE_M2),
});
export type AreaUnit = keyof typeof areaUnits;

/** Speeds, SI m/s. 1 mph = 88 ft/min exactly: leaving the 88 out is a published slip (check-values 2.19). */
export const speedUnits = Object.freeze({
  mph: multiple('mph', (88 * FOOT_M) / 60),
  ft_per_min: multiple('ft/min', FOOT_M / 60),
  km_per_h: multiple('km/h', 1 / 3.6),
  m_per_s: multiple('m/s', 1),
});
export type SpeedUnit = keyof typeof speedUnits;
