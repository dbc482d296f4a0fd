import type { Absence } from '../../base/because.ts';
import type { AnalysedCurve } from './analysis.ts';

/**
 * Why no verdict is given. Naming a cause is a capability still to come, and until it is there that is the reason: to say
 * "no reference" or "too few settings" would promise that with them there would be one.
 */
export function findingBecause(curve: AnalysedCurve | null): Absence {
  return curve === null ? 'no-curve' : 'not-yet-supported';
}
