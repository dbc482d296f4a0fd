/**
 * The simulated water, always at 18 °C. Its constants stand here on their own and are not taken from the analysis, so that a
 * mistake there shows up as a wrong flow instead of cancelling.
 */
export const WATER_TEMPERATURE_degC = 18;
/** Water at 18 °C: the value of the usual tables (from memory, not looked up). */
export const WATER_DENSITY_kg_per_m3 = 998.595;
/** What a scale adjusted with mass pieces (8000 kg/m3) shows for a kilogram of this water in air of 1.2 kg/m3 (arithmetic). */
export const SHOWN_PER_TRUE = (1 - 1.2 / WATER_DENSITY_kg_per_m3) / (1 - 1.2 / 8000);

/** Volume flow to the flow that the scale shows. */
export function shownFlow_kg_per_s(flow_m3_per_s: number): number {
  return flow_m3_per_s * WATER_DENSITY_kg_per_m3 * SHOWN_PER_TRUE;
}

/** The flow that the scale shows to volume flow. */
export function volumeFlow_m3_per_s(shown_kg_per_s: number): number {
  return shown_kg_per_s / (WATER_DENSITY_kg_per_m3 * SHOWN_PER_TRUE);
}
