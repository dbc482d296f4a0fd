/** Air at about 20 °C, sea level, half saturated (arithmetic from the OIML R 111 simplified formula: 1.199 kg/m³). */
export const AIR_DENSITY_KG_PER_M3 = 1.2;
/** Conventional density of mass pieces (OIML R 111). */
export const MASS_PIECE_DENSITY_KG_PER_M3 = 8000;

/** Where the factor from reading to mass came from. */
export type ScaleFactorFrom = 'mass-pieces' | 'water-volume' | 'maker';

/**
 * What the shown mass of water is multiplied by: air lifts the water more than it lifts the mass pieces.
 * (1 − ρa/8000) / (1 − ρa/ρw): 1.00105 at 20 °C. A maker adjusts with mass pieces too, so `maker` is corrected alike;
 * a factor found with a known volume of water already holds it: exactly 1 (measurement rule 11.13).
 * Errors: RangeError unless the water is denser than the air.
 * @example buoyancyFactor('mass-pieces', 998.2067) // 1.0010534
 */
export function buoyancyFactor(
  scaleFactorFrom: ScaleFactorFrom,
  waterDensity_kg_per_m3: number,
  airDensity_kg_per_m3: number = AIR_DENSITY_KG_PER_M3,
): number {
  if (!(waterDensity_kg_per_m3 > airDensity_kg_per_m3)) {
    throw new RangeError('water must be denser than air');
  }
  if (scaleFactorFrom === 'water-volume') return 1;
  return (
    (1 - airDensity_kg_per_m3 / MASS_PIECE_DENSITY_KG_PER_M3) /
    (1 - airDensity_kg_per_m3 / waterDensity_kg_per_m3)
  );
}
