import { buoyancyFactor } from '../flow/buoyancy.ts';

/** Water of a check is between 0 and 40 °C: what its density does to the air's share is under 1 ppm. */
const CHECK_WATER_KG_PER_M3 = 998;

/** True over shown in terms of mass pieces: a factor from a volume of water, less the air's buoyancy it holds. */
export function inTermsOfPieces(check: { readonly factor: number; readonly from: string }): number {
  const air = check.from === 'water-volume' ? buoyancyFactor('mass-pieces', CHECK_WATER_KG_PER_M3) : 1;
  return check.factor / air;
}
