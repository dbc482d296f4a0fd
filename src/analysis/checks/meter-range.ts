import type { CaptureHeader } from '../../signal/captures/header.ts';

/** Two catches at one setting differ by so much: the lowest checked flow is not refused for its own scatter. */
const BELOW_LOWEST = 0.98;
/** A straight meter may be carried so far beyond the highest flow of its check; further is flagged. */
const ABOVE_HIGHEST = 1.1;

/** Where a flow lies against the flows its meter was checked at: below them it is refused, above them flagged. */
export function meterRange(flow_m3_per_s: number, about: CaptureHeader): 'below' | 'inside' | 'above' {
  const { meterLowestFlow_m3_per_s: lowest = 0, meterHighestFlow_m3_per_s: highest = Infinity } = about;
  if (flow_m3_per_s < lowest * BELOW_LOWEST) return 'below';
  return flow_m3_per_s > highest * ABOVE_HIGHEST ? 'above' : 'inside';
}
