import type { CaptureHeader } from '../../signal/captures/header.ts';
import { MOST_DEGREES_OF_FREEDOM } from '../flow/catch-uncertainty.ts';
import type { SharedPart } from './budget.ts';

/** How large a meter's offset may be where a check at one flow could not tell it, either way. Assumed; no source. */
export const UNTOLD_OFFSET_HZ = 1;

/**
 * What a checked meter leaves in a flow of this size: its two parameters with their correlation (`meter-factor`), and what the check was
 * made against (`meter-reference`). Q = (f + b)/a, so u²(Q) = (Q²·u_a² + u_b² − 2Q·r·u_a·u_b)/a² (JCGM 100 5.2.2). After a check at
 * one flow Q₀ the untold offset is worth (1 Hz/√3)/a·|1/Q₀ − 1/Q| of the flow. Empty for a meter that nobody checked.
 */
export function meterParts(header: CaptureHeader, flow_m3_per_s: number): SharedPart[] {
  const { pulsesPerLitre, pulsesPerLitreStandardUncertainty, meterOffset_Hz } = header;
  if (pulsesPerLitre === undefined || pulsesPerLitreStandardUncertainty === undefined) return [];
  const a = pulsesPerLitre * 1e3;
  const ua = pulsesPerLitreStandardUncertainty * 1e3;
  const ub = header.meterOffsetStandardUncertainty_Hz ?? 0;
  const r = header.meterCorrelation ?? 0;
  const Q = flow_m3_per_s;
  const variance = ((Q * ua) ** 2 + ub ** 2 - 2 * Q * r * ua * ub) / (a * Q) ** 2;
  const at = header.meterLowestFlow_m3_per_s;
  const untold =
    meterOffset_Hz === undefined
      ? (UNTOLD_OFFSET_HZ / Math.sqrt(3) / a) * Math.abs((at === undefined ? 0 : 1 / at) - 1 / Q)
      : 0;
  const factor = Math.hypot(Math.sqrt(Math.max(0, variance)), untold);
  const reference = header.meterReferenceRelativeStandardUncertainty;
  return [
    {
      input: 'meter-factor',
      value: a,
      unit: '1/m³',
      standardUncertainty: factor * a,
      distribution: 'normal',
      degreesOfFreedom: MOST_DEGREES_OF_FREEDOM,
      relative: factor,
    },
    ...(reference === undefined
      ? []
      : [
          {
            input: 'meter-reference' as const,
            value: 1,
            unit: '1',
            standardUncertainty: reference,
            distribution: 'normal' as const,
            degreesOfFreedom: MOST_DEGREES_OF_FREEDOM,
            relative: reference,
          },
        ]),
  ];
}

/** Somebody has held the meter against something known; one flow checks the factor, not the offset. */
export function isMeterChecked(header: CaptureHeader): boolean {
  return header.meterOffset_Hz !== undefined || header.pulsesPerLitreStandardUncertainty !== undefined;
}
