import { PSI_PA } from '../base/units/constants.ts';
import {
  batteryFactor,
  pumpLimit_Pa,
  shownByDial_Pa,
  trueBehindDial_Pa,
  type Drained,
} from './dial-faults.ts';
import type { Random } from './random.ts';
import { orificeFactor, type RigFault } from './rig-fault.ts';
import { driveWater, leakPast_m3_per_s } from './water-path.ts';

export type { RigFault } from './rig-fault.ts';

/** A made-up tip: flow = k sqrt(pressure), k as it was when new; and what is wrong with it and with the rig before it, all at once. */
export interface SimulatedTip {
  readonly name?: string;
  readonly nozzleConstant_m3_per_s_per_sqrtPa: number;
  readonly fault?: RigFault;
  readonly faults?: readonly RigFault[];
}

/** The pressure control. `re-set`: every turn lands anew; `set-once`: it clicks, and a setting always has the same error. */
export interface SimulatedDial {
  readonly protocol: 're-set' | 'set-once';
  /** Standard deviation of the true pressure round the nominal one. */
  readonly standardDeviation_Pa: number;
}

/** A free knob good to 1.5 psi, the value the study assumes. */
export const usualDial: SimulatedDial = { protocol: 're-set', standardDeviation_Pa: 1.5 * PSI_PA };

/** Pump, control and tip: which pressure a setting really gives, and which flow that pressure drives through the tip. */
export class Rig {
  private turns = 0;
  private nominal_Pa: number | null = null;
  private true_Pa = 0;
  private way: { readonly from_Pa: number; readonly to_Pa: number } | null = null;
  private drained: Drained = { water_min: 0, sweepShare: 0 };
  private isBlank = false;
  readonly faults: readonly RigFault[];

  constructor(
    readonly tip: SimulatedTip,
    readonly dial: SimulatedDial,
    private readonly random: Random,
  ) {
    this.faults = [...(tip.fault ? [tip.fault] : []), ...(tip.faults ?? [])];
  }

  /** Nominal pressure that the dial points at; null before it was first set. */
  get setting_Pa(): number | null {
    return this.nominal_Pa;
  }

  /** At the gauge: before the hose, with what the battery still gives. */
  get truePressure_Pa(): number {
    return this.true_Pa * batteryFactor(this.faults, this.drained);
  }

  /** What a gauge at the wand reads while the water runs. */
  get wandPressure_Pa(): number {
    return this.isBlank ? this.truePressure_Pa : this.driven.wand_Pa;
  }

  /** What the dial shows now; with the pump off what it shows of nothing. */
  get dialShows_Pa(): number {
    return shownByDial_Pa(this.faults, this.truePressure_Pa);
  }

  /** How much water the battery has driven; between two openings of the trigger. */
  drain(drained: Drained): void {
    this.drained = drained;
  }

  /** A blank in the tip's place: what still comes out is the leak. */
  fitBlank(isBlank: boolean): void {
    this.isBlank = isBlank;
  }

  /** Turn the dial; to 0: the pump is off. Left where it already points nothing moves, so nothing is drawn anew. */
  set(nominal_Pa: number): void {
    if (nominal_Pa === this.nominal_Pa) return;
    this.nominal_Pa = nominal_Pa;
    this.way = null;
    this.turns += 1;
    const name =
      this.dial.protocol === 're-set' ? `turn ${String(this.turns)}` : `click ${nominal_Pa.toFixed(3)}`;
    const error_Pa = this.dial.standardDeviation_Pa * this.random.stream(name).normal();
    const landed_Pa = Math.max(0, trueBehindDial_Pa(this.faults, nominal_Pa) + error_Pa);
    this.true_Pa = nominal_Pa === 0 ? 0 : Math.min(pumpLimit_Pa(this.faults), landed_Pa);
  }

  /** The dial on its way to another setting, `share` 0..1 of the way; at 1 it is there. */
  turnTowards(nominal_Pa: number, share: number): void {
    if (nominal_Pa !== this.nominal_Pa) {
      const from_Pa = this.true_Pa;
      this.set(nominal_Pa);
      this.way = { from_Pa, to_Pa: this.true_Pa };
    }
    const { from_Pa, to_Pa } = this.way ?? { from_Pa: this.true_Pa, to_Pa: this.true_Pa };
    this.true_Pa = from_Pa + share * (to_Pa - from_Pa);
  }

  /** The constant that a perfect sweep would find: wear and restriction are part of it, a leak is not a constant. */
  get trueNozzleConstant_m3_per_s_per_sqrtPa(): number {
    return this.tip.nozzleConstant_m3_per_s_per_sqrtPa * orificeFactor(this.faults);
  }

  /** Flow at the true pressure, m3/s. */
  get flow_m3_per_s(): number {
    const k = this.tip.nozzleConstant_m3_per_s_per_sqrtPa;
    if (this.isBlank) return leakPast_m3_per_s(this.faults, k, this.truePressure_Pa);
    return this.driven.flow_m3_per_s;
  }

  private get driven(): ReturnType<typeof driveWater> {
    return driveWater(this.faults, this.tip.nozzleConstant_m3_per_s_per_sqrtPa, this.truePressure_Pa);
  }
}
