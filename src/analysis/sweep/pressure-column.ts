import type { CaptureHeader } from '../../signal/captures/header.ts';

/**
 * Pressure from a ratiometric sensor of 0.5-4.5 V on 5 V: (fraction of the supply − 0.1) / 0.8 × full scale; after a two-point check
 * gain × (that − what it read at zero). NaN where nothing was read, and everywhere without a full scale.
 */
export function pressureColumn(supplyFraction: Float64Array, header: CaptureHeader): Float64Array {
  const { pressureFullScale_Pa: fullScale_Pa, pressureGain = 1, pressureZero_Pa = 0 } = header;
  if (fullScale_Pa === undefined) return supplyFraction.map(() => NaN);
  return supplyFraction.map((x) => pressureGain * (((x - 0.1) / 0.8) * fullScale_Pa - pressureZero_Pa));
}
