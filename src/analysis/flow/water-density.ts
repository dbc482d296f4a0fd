import { ok, refused } from '../../base/outcome.ts';
import type { Outcome } from '../../base/outcome.ts';

/** The formula's range, °C. */
export const COLDEST_DENSITY_degC = 0;
export const WARMEST_DENSITY_degC = 40;

/** What is assumed when nobody put a thermometer in the pail: 20 °C, anywhere within 10 °C of it. */
export const ASSUMED_WATER_degC = 20;
export const ASSUMED_WATER_HALF_RANGE_degC = 10;
/** Standard uncertainty of a temperature that was read in the pail, °C. */
export const STATED_TEMPERATURE_U_degC = 1;

/**
 * Density of air-free water at 101.325 kPa, kg/m³.
 * Formula and coefficients: M. Tanaka et al., "Recommended table for the density of water between 0 °C and 40 °C",
 * Metrologia 38 (2001) 301-309 (the CIPM recommendation). Tap water with air in it is up to 3 ppm lighter: ignored.
 * Refused outside 0-40 °C, where the formula says nothing (`outside-measured-range`).
 * @example waterDensity_kg_per_m3(20) // { ok: true, value: 998.2067 }
 */
export function waterDensity_kg_per_m3(temperature_degC: number): Outcome<number> {
  if (!(temperature_degC >= COLDEST_DENSITY_degC && temperature_degC <= WARMEST_DENSITY_degC)) {
    return refused('outside-measured-range', {
      temperature_degC,
      lowest_degC: COLDEST_DENSITY_degC,
      highest_degC: WARMEST_DENSITY_degC,
    });
  }
  return ok(tanaka(temperature_degC));
}

/** The water of a catch: which density to use and what the doubt about its temperature is worth. */
export interface WaterDensity {
  readonly density_kg_per_m3: number;
  /** Of the density, from the temperature alone; a flow in volume inherits it. Shared by all catches of a sweep. */
  readonly relativeStandardUncertainty: number;
  /** True: nobody stated a temperature. */
  readonly assumed: boolean;
  /** Of a stated temperature, where it is trusted less than usual (warm water cools on its way). */
  readonly temperatureStandardUncertainty_degC?: number;
}

/**
 * Stated temperature: standard uncertainty 1 °C. Not stated: 20 °C, and rectangular from 10 to 30 °C (measurement rule 11.13).
 * Either way the figure is the root mean square of ρ(T) − ρ(used) over the possible T, so it holds the bend of the curve too
 * and does not fall to nothing at 4 °C where the tangent is flat. Temperatures beyond 0-40 °C count as the nearest end.
 * Refused outside 0-40 °C like the density itself; for warm water the caller warns `water-warm` and widens.
 */
export function waterDensity(temperature_degC: number | null): Outcome<WaterDensity> {
  const used_degC = temperature_degC ?? ASSUMED_WATER_degC;
  const density = waterDensity_kg_per_m3(used_degC);
  if (!density.ok) return density;
  const offsets_degC =
    temperature_degC === null
      ? rectangle(ASSUMED_WATER_HALF_RANGE_degC)
      : [-STATED_TEMPERATURE_U_degC, STATED_TEMPERATURE_U_degC];
  let squares = 0;
  for (const offset of offsets_degC) {
    const possible = Math.min(WARMEST_DENSITY_degC, Math.max(COLDEST_DENSITY_degC, used_degC + offset));
    squares += (tanaka(possible) / density.value - 1) ** 2;
  }
  return ok({
    density_kg_per_m3: density.value,
    relativeStandardUncertainty: Math.sqrt(squares / offsets_degC.length),
    assumed: temperature_degC === null,
  });
}

/** Midpoints of 40 equal strips of a rectangular distribution: its mean square to 0.1 %. */
function rectangle(halfRange: number): number[] {
  return Array.from({ length: 40 }, (_, i) => halfRange * ((2 * i + 1) / 40 - 1));
}

function tanaka(t: number): number {
  return 999.97495 * (1 - ((t - 3.983035) ** 2 * (t + 301.797)) / (522528.9 * (t + 69.34881)));
}
