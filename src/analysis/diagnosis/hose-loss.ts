import { hoseLoss_Pa, WATER_DENSITY_KG_PER_M3 } from '../../base/hose-loss.ts';
import type { Plumbing } from './evidence.ts';

/** Height of water: 1.4 psi a metre (measurement 11.5); density times standard gravity says 1.42. */
export const PA_PER_METRE = WATER_DENSITY_KG_PER_M3 * 9.80665;

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
