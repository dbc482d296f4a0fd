import { waterDensity, WARMEST_DENSITY_degC } from './water-density.ts';
import type { WaterDensity } from './water-density.ts';

/** Above 40 °C water cools on its way into the pail: the stated temperature is trusted to this much only. Assumed (rule 11.13: widen). */
export const WARM_WATER_U_degC = 5;

/**
 * Density of fresh water from 0 to 100 °C, kg/m³ (ITS-90).
 * Source: Bettin and Spieweck 1990, as printed in IP Standard Methods 1998, appendix G (check-values 5a); within 4 ppm of the CIPM
 * formula from 0 to 40 °C (computed).
 */
export function warmWaterDensity_kg_per_m3(t: number): number {
  return (
    (999.83952 +
      t * (16.952577 + t * (-7.9905127e-3 + t * (-46.241757e-6 + t * (105.84601e-9 - t * 281.03006e-12))))) /
    (1 + 16.887236e-3 * t)
  );
}

/** The water of a catch whatever its temperature: the CIPM formula to 40 °C, above it with `warm` and a wider doubt. */
export function catchWater(temperature_degC: number | null): WaterDensity & { readonly warm: boolean } {
  const usual = waterDensity(temperature_degC);
  if (usual.ok) return { ...usual.value, warm: false };
  const t = Math.min(100, Math.max(WARMEST_DENSITY_degC, temperature_degC ?? WARMEST_DENSITY_degC));
  const density = warmWaterDensity_kg_per_m3(t);
  return {
    density_kg_per_m3: density,
    relativeStandardUncertainty: (warmWaterDensity_kg_per_m3(t - WARM_WATER_U_degC) - density) / density,
    assumed: false,
    temperatureStandardUncertainty_degC: WARM_WATER_U_degC,
    warm: true,
  };
}
