/** Of the tank's fill that may be sprayed before the pump draws air. Judgement, no source. */
export const USABLE_TANK_SHARE = 0.9;
const WATER_KG_PER_M3 = 1000;

/** Water that may still be sprayed, kg. @param water_kg what is left in the tank; @param fill_m3 what it was filled with. */
export function usableWater_kg(water_kg: number, fill_m3: number): number {
  return Math.max(0, water_kg - (1 - USABLE_TANK_SHARE) * fill_m3 * WATER_KG_PER_M3);
}

/** Is there water for a catch of this flow and length? An unknown flow is let through if a litre is left. */
export function lastsFor(usable_kg: number, massFlow_kg_per_s: number | null, duration_s: number): boolean {
  return massFlow_kg_per_s === null ? usable_kg >= 1 : massFlow_kg_per_s * duration_s <= usable_kg;
}
