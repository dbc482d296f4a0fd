import type { CaptureHeader } from '../../signal/captures/header.ts';
import type { SharedPart } from './budget.ts';
import { meterParts } from './meter-parts.ts';

export interface SharedContext {
  readonly about: CaptureHeader;
  readonly shared: { readonly mass: readonly SharedPart[]; readonly pulses: readonly SharedPart[] };
}

/** All that a flow of this size shares with the others of its capture; what a checked meter leaves depends on the flow. */
export function sharedOfFlow(
  { about, shared }: SharedContext,
  from: 'mass' | 'pulses',
  flow_m3_per_s: number,
): readonly SharedPart[] {
  return from === 'mass' ? shared.mass : [...shared.pulses, ...meterParts(about, flow_m3_per_s)];
}
