import { pulseFlow } from '../flow/pulses.ts';
import { ownUncertainty } from '../flow/catch-uncertainty.ts';
import type { CatchContext } from '../sweep/analyse-catch.ts';
import type { AnalysedCatch } from '../sweep/analysis.ts';
import type { MeterPoint } from './meter-check.ts';

/** The frequency itself: no factor, no offset. */
const BARE = { pulsesPerCubicMetre: 1, offset_Hz: 0 };

/** Catches of one capture that were weighed and metered: flow from the scale, frequency from the meter's edges. Struck and void ones give none. */
export function meterPointsOf(catches: readonly AnalysedCatch[], context: CatchContext): MeterPoint[] {
  const { time_s, pulses, edge_s } = context;
  return catches.flatMap((c) => {
    if (c.struck || c.flowFrom !== 'mass' || c.flow_m3_per_s === null) return [];
    const found = pulseFlow(time_s, pulses, edge_s, time_s.length, c.start_s, c.stop_s, BARE);
    if (!found.ok) return [];
    const own = ownUncertainty({
      typeA_m3_per_s: c.typeA_m3_per_s!,
      typeADegreesOfFreedom: c.typeADegreesOfFreedom!,
      jetAllowance_m3_per_s: c.jetAllowance_m3_per_s!,
      ownTypeB_m3_per_s: c.ownTypeB_m3_per_s!,
      sharedTypeB_m3_per_s: 0,
    });
    return [
      {
        flow_m3_per_s: c.flow_m3_per_s,
        flowStandardUncertainty_m3_per_s: own.standardUncertainty,
        frequency_Hz: found.value.frequency_Hz,
        frequencyStandardUncertainty_Hz: found.value.standardUncertainty_m3_per_s,
      },
    ];
  });
}
