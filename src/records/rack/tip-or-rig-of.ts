import type { NoTipOrRig, TipOrRig } from '../../analysis/tip-or-rig/tip-or-rig.ts';

/** The shared model of the tips of a rig is not merged yet. */
export function tipOrRigOf(): TipOrRig | NoTipOrRig {
  return { because: 'not-yet-supported' };
}
