/** Clean water at 20 °C. */
export const WATER_DENSITY_KG_PER_M3 = 998.2;
/** Of water at 20 °C (recalled); warmer water loses a little less. */
const KINEMATIC_VISCOSITY_M2_PER_S = 1.004e-6;

/**
 * What: pressure lost in a straight smooth hose, Pa.
 * Formula: Δp = λ·(L/d)·(ρ/2)·v² (Darcy-Weisbach); λ = 0.3164·Re^−0.25 (Blasius, turbulent, smooth), 64/Re up to Re 2000
 *   (Hagen-Poiseuille); between 2000 and 4000 the larger of the two.
 * Source: Idel'chik, Handbook of Hydraulic Resistance, as given in the documentation of the Modelica Standard Library (pressure loss
 *   of a straight pipe), read there. Check: 300 ft of 1/2 in lose 5, 15 and 52 psi at 1, 2 and 4 gal/min.
 * Conditions: no fittings, no filter, no roughness: real hoses lose more.
 */
export function hoseLoss_Pa(flow_m3_per_s: number, length_m: number, bore_m: number): number {
  const speed = flow_m3_per_s / ((Math.PI / 4) * bore_m * bore_m);
  const reynolds = (speed * bore_m) / KINEMATIC_VISCOSITY_M2_PER_S;
  if (!(reynolds > 0) || length_m === 0) return 0;
  const turbulent = 0.3164 / reynolds ** 0.25;
  const laminar = 64 / reynolds;
  const friction = reynolds <= 2000 ? laminar : reynolds >= 4000 ? turbulent : Math.max(laminar, turbulent);
  return friction * (length_m / bore_m) * (WATER_DENSITY_KG_PER_M3 / 2) * speed * speed;
}
