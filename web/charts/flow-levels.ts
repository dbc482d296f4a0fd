import { ticks } from 'd3-array';
import { significant } from '../wording/number.ts';
import type { ShownUnits } from '../wording/units.ts';

/** Labelled levels of the flow axis, in the units shown. */
export function flowLevels(
  flows: { readonly low: number; readonly high: number },
  units: ShownUnits,
  y: (flow_m3_per_s: number) => number,
): { y: number; label: string }[] {
  const low = units.flow.fromSI(flows.low);
  const high = units.flow.fromSI(flows.high);
  const values = ticks(low, high, 4);
  const step = values.length > 1 ? values[1]! - values[0]! : 1;
  const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  return values.map((value) => ({
    y: y(units.flow.toSI(value)),
    label: Number.isFinite(step) ? value.toFixed(decimals) : significant(value, 2),
  }));
}
