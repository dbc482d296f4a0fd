import { OUNCE_KG, POUND_KG } from './constants.ts';
import { multiple } from './unit.ts';

/**
 * Mass, SI kg.
 *
 * "oz" is the avoirdupois ounce BY WEIGHT, 28.3495 g, as a kitchen or parcel scale shows it; not the fluid ounce of a jug
 * (volume.ts). A label's "oz" of a liquid means fluid ounces, of a dry product ounces by weight: ask, don't guess.
 */
export const massUnits = Object.freeze({
  kg: multiple('kg', 1),
  g: multiple('g', 1e-3),
  lb: multiple('lb', POUND_KG),
  oz: multiple('oz (weight)', OUNCE_KG),
});
export type MassUnit = keyof typeof massUnits;
