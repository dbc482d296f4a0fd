/** What is known of scale and pail. */
export interface PailLimits {
  readonly scaleLimit_kg: number;
  readonly pailVolume_m3: number;
}

/** Mass of a cubic metre of water for the question "will it fit?"; a percent is plenty here. */
const WATER_KG_PER_M3 = 1000;
/** The jet presses while water runs: at most 2.4 g for each g/s (momentum at about 24 m/s, measurement notes section 1). */
export const JET_KG_PER_KG_PER_S = 2.4;
/** Of the scale's limit and of the pail's volume that may be used. */
export const USABLE_SHARE = 0.9;

/**
 * Room left for water, kg: by the scale's limit (the level as shown, pail included) and by the pail's volume (water only).
 * @param level_kg what the scale shows now; @param empty_kg what it showed with the pail empty.
 */
export function roomLeft(rig: PailLimits, level_kg: number, empty_kg: number): number {
  const byScale = USABLE_SHARE * rig.scaleLimit_kg - level_kg;
  const byPail = USABLE_SHARE * rig.pailVolume_m3 * WATER_KG_PER_M3 - (level_kg - empty_kg);
  return Math.max(0, Math.min(byScale, byPail));
}

/** Will a catch of this flow and length fit, the jet's push included? An unknown flow is let through if a litre fits. */
export function willFit(room_kg: number, massFlow_kg_per_s: number | null, duration_s: number): boolean {
  if (massFlow_kg_per_s === null) return room_kg >= 1;
  return massFlow_kg_per_s * duration_s + JET_KG_PER_KG_PER_S * massFlow_kg_per_s <= room_kg;
}
