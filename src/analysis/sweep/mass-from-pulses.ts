import type { MeterFactor } from '../flow/pulses.ts';

const KG_PER_M3 = 1000;

/**
 * A board without a load cell: the water that has passed the meter, as if it were weighed, reading by reading, so that the same detector
 * hears pours. Between edges the count is carried on from the newest edge at the last rate, at most by one pulse, so that a slow meter is
 * no staircase. Only times come out of this; the flow is taken from the edges themselves.
 */
export class PassedWater {
  /** Water of one pulse, kg. */
  readonly step_kg: number;
  #rate_Hz = 0;
  #lastEdge_s = NaN;
  #lastPulses = NaN;

  constructor(meter: MeterFactor) {
    this.step_kg = KG_PER_M3 / meter.pulsesPerCubicMetre;
  }

  /** Kilograms passed up to this reading; NaN where it has no count. `edge_s` NaN: no edge yet. */
  at(time_s: number, pulses: number, edge_s: number): number {
    if (Number.isNaN(pulses)) return NaN;
    if (!Number.isNaN(edge_s) && pulses > this.#lastPulses && edge_s > this.#lastEdge_s) {
      this.#rate_Hz = (pulses - this.#lastPulses) / (edge_s - this.#lastEdge_s);
    }
    if (!Number.isNaN(edge_s) && !(pulses === this.#lastPulses)) {
      this.#lastEdge_s = edge_s;
      this.#lastPulses = pulses;
    }
    const since = Number.isNaN(edge_s) ? 0 : Math.min(1, Math.max(0, (time_s - edge_s) * this.#rate_Hz));
    return (pulses + since) * this.step_kg;
  }
}

/** The same for columns beside `time_s`. */
export function outOfPulses(
  time_s: Float64Array,
  pulses: Float64Array,
  edge_s: Float64Array,
  meter: MeterFactor,
): { readonly mass_kg: Float64Array; readonly step_kg: number } {
  const passed = new PassedWater(meter);
  return { mass_kg: time_s.map((t, i) => passed.at(t, pulses[i]!, edge_s[i]!)), step_kg: passed.step_kg };
}
