import {
  FAULT_TOLD_AT_PA,
  ofKind,
  orificeFactor,
  USUAL_LEAK_EXPONENT,
  type FaultOf,
  type RigFault,
} from './rig-fault.ts';

const DENSITY_KG_PER_M3 = 998.2;
/** Kinematic viscosity of water at 20 °C (IAPWS R12-08: 1.0034 mm²/s). */
const VISCOSITY_M2_PER_S = 1.0034e-6;
const GRAVITY_M_PER_S2 = 9.80665;
const HALVINGS = 60;

/** What comes out at the end of the way from the gauge to the tip. */
export interface Driven {
  /** All water, the leak's with it. */
  readonly flow_m3_per_s: number;
  /** What a gauge at the wand would read: behind the hose, before a check valve. */
  readonly wand_Pa: number;
}

/**
 * Flow of a tip of constant `k_m3_per_s_per_sqrtPa` (as it was when new) behind its faults, `gauge_Pa` being the true pressure at the
 * gauge. The hose's loss depends on the flow it makes: solved by halving, for the loss only grows with the flow.
 */
export function driveWater(
  faults: readonly RigFault[],
  k_m3_per_s_per_sqrtPa: number,
  gauge_Pa: number,
): Driven {
  const told_m3_per_s = k_m3_per_s_per_sqrtPa * Math.sqrt(FAULT_TOLD_AT_PA);
  const out = (wand_Pa: number): number => outOf(faults, k_m3_per_s_per_sqrtPa, told_m3_per_s, wand_Pa);
  const left_Pa = (flow: number): number => gauge_Pa - lost_Pa(faults, told_m3_per_s, flow);
  if (!faults.some(({ kind }) => kind === 'hose-loss' || kind === 'pressure-loss'))
    return { flow_m3_per_s: out(gauge_Pa), wand_Pa: gauge_Pa };
  let low = 0;
  let high = out(Math.max(0, left_Pa(0)));
  for (let i = 0; i < HALVINGS; i += 1) {
    const middle = (low + high) / 2;
    if (out(Math.max(0, left_Pa(middle))) > middle) low = middle;
    else high = middle;
  }
  const wand_Pa = Math.max(0, left_Pa((low + high) / 2));
  return { flow_m3_per_s: out(wand_Pa), wand_Pa };
}

/** What still comes out round a blank tip at this pressure, m³/s: the leak alone. No water moves in the hose worth a loss. */
export function leakPast_m3_per_s(
  faults: readonly RigFault[],
  k_m3_per_s_per_sqrtPa: number,
  pressure_Pa: number,
): number {
  const told_m3_per_s = k_m3_per_s_per_sqrtPa * Math.sqrt(FAULT_TOLD_AT_PA);
  const tip_Pa = Math.max(0, pressure_Pa - rise_Pa(faults) - spring_Pa(faults));
  return leaks_m3_per_s(ofKind(faults, 'leaking'), told_m3_per_s, tip_Pa);
}

/** The true pressure at the gauge below which nothing runs, Pa: the spring of a check valve and the water column. */
export function heldBack_Pa(faults: readonly RigFault[]): number {
  return Math.max(0, rise_Pa(faults) + spring_Pa(faults));
}

/**
 * Friction of a smooth round hose, Pa: f (L/D) (density v²/2), with Darcy's f = 0.3164 Re^(-1/4) (Blasius 1913, Reynolds numbers to 100,000)
 * or 64/Re (Hagen-Poiseuille) where that is larger. Example: hoseFriction_Pa(91.44, 0.0127, 1.2618e-4) is about 1.04e5 (15 psi).
 */
export function hoseFriction_Pa(length_m: number, bore_m: number, flow_m3_per_s: number): number {
  if (!(flow_m3_per_s > 0)) return 0;
  const speed_m_per_s = flow_m3_per_s / ((Math.PI / 4) * bore_m ** 2);
  const reynolds = (speed_m_per_s * bore_m) / VISCOSITY_M2_PER_S;
  const factor = Math.max(0.3164 * reynolds ** -0.25, 64 / reynolds);
  return factor * (length_m / bore_m) * (DENSITY_KG_PER_M3 / 2) * speed_m_per_s ** 2;
}

function outOf(faults: readonly RigFault[], k: number, told_m3_per_s: number, wand_Pa: number): number {
  const tip_Pa = Math.max(0, wand_Pa - spring_Pa(faults));
  return (
    orificeFactor(faults) * k * Math.sqrt(tip_Pa) +
    leaks_m3_per_s(ofKind(faults, 'leaking'), told_m3_per_s, tip_Pa)
  );
}

function leaks_m3_per_s(leaks: readonly FaultOf<'leaking'>[], told_m3_per_s: number, tip_Pa: number): number {
  let sum = 0;
  for (const { share, exponent = USUAL_LEAK_EXPONENT, opensAt_Pa = 0 } of leaks)
    if (tip_Pa > opensAt_Pa)
      sum += share * told_m3_per_s * ((tip_Pa - opensAt_Pa) / FAULT_TOLD_AT_PA) ** exponent;
  return sum;
}

function spring_Pa(faults: readonly RigFault[]): number {
  return ofKind(faults, 'check-valve').reduce((sum, { opensAt_Pa }) => sum + opensAt_Pa, 0);
}

function rise_Pa(faults: readonly RigFault[]): number {
  return ofKind(faults, 'hose-loss').reduce(
    (sum, { tipAboveGauge_m = 0 }) => sum + DENSITY_KG_PER_M3 * GRAVITY_M_PER_S2 * tipAboveGauge_m,
    0,
  );
}

function lost_Pa(faults: readonly RigFault[], told_m3_per_s: number, flow_m3_per_s: number): number {
  let sum_Pa = rise_Pa(faults);
  for (const { length_m, bore_m } of ofKind(faults, 'hose-loss'))
    sum_Pa += hoseFriction_Pa(length_m, bore_m, flow_m3_per_s);
  for (const fault of ofKind(faults, 'pressure-loss'))
    sum_Pa += fault.lost_Pa * (flow_m3_per_s / told_m3_per_s) ** 2;
  return sum_Pa;
}
