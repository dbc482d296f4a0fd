import type { MeterFactor } from '../flow/pulses.ts';

const KG_PER_M3 = 1000;

/**
 * A board without a load cell: the water that has passed the meter, as if it were weighed, so that the same detector hears pours.
 * Between edges the count is carried on from the newest edge at the last rate, at most by one pulse, so that a slow meter is no
 * staircase. Only times come out of this; the flow is taken from the edges themselves.
 */
export function outOfPulses(
  time_s: Float64Array,
  pulses: Float64Array,
  edge_s: Float64Array,
  meter: MeterFactor,
): { readonly mass_kg: Float64Array; readonly step_kg: number } {
  const step_kg = KG_PER_M3 / meter.pulsesPerCubicMetre;
  let rate_Hz = 0;
  let lastEdge_s = NaN;
  let lastPulses = NaN;
  const mass_kg = time_s.map((t, i) => {
    const n = pulses[i]!;
    const edge = edge_s[i]!;
    if (Number.isNaN(n)) return NaN;
    if (!Number.isNaN(edge) && n > lastPulses && edge > lastEdge_s) {
      rate_Hz = (n - lastPulses) / (edge - lastEdge_s);
    }
    if (!Number.isNaN(edge) && !(n === lastPulses)) {
      lastEdge_s = edge;
      lastPulses = n;
    }
    const since = Number.isNaN(edge) ? 0 : Math.min(1, Math.max(0, (t - edge) * rate_Hz));
    return (n + since) * step_kg;
  });
  return { mass_kg, step_kg };
}
