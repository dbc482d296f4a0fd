import type { RigCheckFound, RigCheckKind } from '../analysis/diagnosis/evidence.ts';
import { PSI_PA } from '../base/units/constants.ts';
import { batteryFactor, shownByDial_Pa, trueBehindDial_Pa } from './dial-faults.ts';
import type { Random } from './random.ts';
import type { RigFault } from './rig-fault.ts';
import { driveWater, heldBack_Pa, leakPast_m3_per_s } from './water-path.ts';

/** How well each check is made in the study (measurement 5.3): 0.7 psi, 1 psi, 0.05 mL/s; a gauge at the wand is read as a dial is. */
const DIAL_U_PA = 0.7 * PSI_PA;
const STOP_U_PA = 1 * PSI_PA;
const LEAK_U_M3_PER_S = 5e-8;
/** Two looks of half a minute, two minutes between them; physical reasoning, not measured. */
const SAG_U = 0.0025;
const SPRAYED_S = 150;
const SWEEP_OF_WATER_S = 450;

/**
 * What a check of this rig would find, with the error of making it drawn from `draw`.
 * @param at_Pa the dial at the blank tip, or while the gauge at the wand is read.
 */
export function drawnRigCheck(
  kind: RigCheckKind,
  faults: readonly RigFault[],
  k_m3_per_s_per_sqrtPa: number,
  at_Pa: number,
  draw: Random,
): RigCheckFound {
  const true_Pa = Math.max(0, trueBehindDial_Pa(faults, at_Pa));
  switch (kind) {
    case 'dial-at-zero': {
      const shown_Pa = shownByDial_Pa(faults, 0) + DIAL_U_PA * draw.normal();
      return { kind, shown_Pa, standardUncertainty_Pa: DIAL_U_PA };
    }
    case 'flow-stops-at': {
      const shown_Pa = shownByDial_Pa(faults, heldBack_Pa(faults)) + STOP_U_PA * draw.normal();
      return { kind, shown_Pa, standardUncertainty_Pa: STOP_U_PA };
    }
    case 'blank-tip': {
      const leak = leakPast_m3_per_s(faults, k_m3_per_s_per_sqrtPa, true_Pa);
      return {
        kind,
        leak_m3_per_s: leak + LEAK_U_M3_PER_S * draw.normal(),
        standardUncertainty_m3_per_s: LEAK_U_M3_PER_S,
        pressure_Pa: at_Pa,
      };
    }
    case 'wand-gauge': {
      const { wand_Pa } = driveWater(faults, k_m3_per_s_per_sqrtPa, true_Pa);
      const read_Pa = wand_Pa + DIAL_U_PA * draw.normal();
      return { kind, setting_Pa: at_Pa, wand_Pa: read_Pa, standardUncertainty_Pa: DIAL_U_PA };
    }
    case 'sag-test': {
      const left = batteryFactor(faults, {
        water_min: SPRAYED_S / 60,
        sweepShare: SPRAYED_S / SWEEP_OF_WATER_S,
      });
      return {
        kind,
        setting_Pa: at_Pa,
        flowLostRelative: 1 - Math.sqrt(left) + SAG_U * draw.normal(),
        relativeStandardUncertainty: SAG_U,
        sprayed_s: SPRAYED_S,
      };
    }
  }
}
