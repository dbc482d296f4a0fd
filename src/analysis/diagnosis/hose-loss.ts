import type { Plumbing } from './evidence.ts';

const DENSITY_KG_PER_M3 = 998.2;
/** Of water at 20 °C (recalled); warmer water loses a little less. */
const KINEMATIC_VISCOSITY_M2_PER_S = 1.004e-6;
/** Height of water: 1.4 psi a metre (measurement 11.5); density times standard gravity says 1.42. */
export const PA_PER_METRE = DENSITY_KG_PER_M3 * 9.80665;

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
  return friction * (length_m / bore_m) * (DENSITY_KG_PER_M3 / 2) * speed * speed;
}

/**
 * Pressure lost between gauge and tip at this flow, hose and height; null where the rig is not known well enough to say: a gauge at the
 * wand needs no hose, everything else needs length and bore, and a height that nobody gave is taken as none with a gauge at the wand only.
 * Negative: the tip hangs lower than the gauge.
 */
export function pressureLost_Pa(
  plumbing: Pick<Plumbing, 'gaugeAt' | 'hoseLength_m' | 'hoseBore_m' | 'tipAboveGauge_m'>,
  flow_m3_per_s: number,
): number | null {
  const { gaugeAt, hoseLength_m, hoseBore_m, tipAboveGauge_m } = plumbing;
  if (gaugeAt === 'wand') return (tipAboveGauge_m ?? 0) * PA_PER_METRE;
  if (hoseLength_m === null || hoseBore_m === null || tipAboveGauge_m === null) return null;
  const lost_Pa = hoseLoss_Pa(flow_m3_per_s, hoseLength_m, hoseBore_m) + tipAboveGauge_m * PA_PER_METRE;
  // A bore of nothing: not a hose, and not zero either.
  return Number.isFinite(lost_Pa) ? lost_Pa : null;
}

/**
 * Part of the pressure that may be lost before neither "restricted" nor "no fault shown" is said alone (measurement 11.5: 3 %). Read as a
 * part of the PRESSURE, as the 15 % in the same rule is (15 % of pressure and 10 % of wear cancel; of flow they would not): 1.5 % of flow.
 */
export const LOSS_THAT_MATTERS = 0.03;
