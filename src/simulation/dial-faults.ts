import { ofKind, type RigFault } from './rig-fault.ts';

/** What a dial shows at a true pressure, Pa: true (1 + gain) + offset. Without pressure a bent needle shows its offset. */
export function shownByDial_Pa(faults: readonly RigFault[], true_Pa: number): number {
  return true_Pa * dialGain(faults) + dialOffset_Pa(faults);
}

/** The true pressure at which a dial shows so much, Pa. */
export function trueBehindDial_Pa(faults: readonly RigFault[], shown_Pa: number): number {
  return (shown_Pa - dialOffset_Pa(faults)) / dialGain(faults);
}

/** The most that the pump gives, Pa. */
export function pumpLimit_Pa(faults: readonly RigFault[]): number {
  return Math.min(Infinity, ...ofKind(faults, 'pump-limited').map((fault) => fault.pressure_Pa));
}

/** Water time in minutes and the share of the sweep that is over, since the battery was fresh. */
export interface Drained {
  readonly water_min: number;
  readonly sweepShare: number;
}

/** What a fading battery leaves of the pressure, as a factor; never below a tenth. */
export function batteryFactor(faults: readonly RigFault[], drained: Drained): number {
  let factor = 1;
  for (const { share, per } of ofKind(faults, 'battery-sag'))
    factor *= 1 - share * (per === 'minute' ? drained.water_min : drained.sweepShare);
  return Math.max(0.1, factor);
}

function dialGain(faults: readonly RigFault[]): number {
  return ofKind(faults, 'dial-gain').reduce((gain, { share }) => gain * (1 + share), 1);
}

function dialOffset_Pa(faults: readonly RigFault[]): number {
  return ofKind(faults, 'dial-high').reduce((sum, { offset_Pa }) => sum + offset_Pa, 0);
}
