import { PSI_PA } from '../base/units/constants.ts';
import type { Random } from './random.ts';

/** A made-up tip: flow = k sqrt(pressure), k as it was when new. */
export interface SimulatedTip {
  readonly name?: string;
  readonly nozzleConstant_m3_per_s_per_sqrtPa: number;
  readonly fault?: RigFault;
}

/** Faults that can be switched on. Shares are relative (0.1 = 10 %). */
export type RigFault =
  | { readonly kind: 'none' }
  | { readonly kind: 'worn'; readonly share: number }
  | { readonly kind: 'restricted'; readonly share: number }
  /** Water beside the orifice, share of the flow at 40 psi, growing as pressure to 1.25. */
  | { readonly kind: 'leaking'; readonly share: number }
  /** The pump gives no more than this pressure. */
  | { readonly kind: 'pump-limited'; readonly pressure_Pa: number }
  /** The dial shows this much more than there is (negative: less). */
  | { readonly kind: 'dial-high'; readonly offset_Pa: number };

/** The pressure control. `re-set`: every turn lands anew; `set-once`: it clicks, and a setting always has the same error. */
export interface SimulatedDial {
  readonly protocol: 're-set' | 'set-once';
  /** Standard deviation of the true pressure round the nominal one. */
  readonly standardDeviation_Pa: number;
}

/** A free knob good to 1.5 psi, the value the study assumes. */
export const usualDial: SimulatedDial = { protocol: 're-set', standardDeviation_Pa: 1.5 * PSI_PA };

const LOWEST_SHARE = 0.05;

/** Pump, control and tip: which pressure a setting really gives, and which flow that pressure drives through the tip. */
export class Rig {
  private turns = 0;
  private nominal_Pa: number | null = null;
  private true_Pa = 0;
  private way: { readonly from_Pa: number; readonly to_Pa: number } | null = null;

  constructor(
    readonly tip: SimulatedTip,
    readonly dial: SimulatedDial,
    private readonly random: Random,
  ) {}

  /** Nominal pressure that the dial points at; null before it was first set. */
  get setting_Pa(): number | null {
    return this.nominal_Pa;
  }

  get truePressure_Pa(): number {
    return this.true_Pa;
  }

  /** Turn the dial. Left where it already points nothing moves, so nothing is drawn anew. */
  set(nominal_Pa: number): void {
    if (nominal_Pa === this.nominal_Pa) return;
    this.nominal_Pa = nominal_Pa;
    this.way = null;
    this.turns += 1;
    const name =
      this.dial.protocol === 're-set' ? `turn ${String(this.turns)}` : `click ${nominal_Pa.toFixed(3)}`;
    const error_Pa = this.dial.standardDeviation_Pa * this.random.stream(name).normal();
    const fault = this.tip.fault;
    const offset_Pa = fault?.kind === 'dial-high' ? -fault.offset_Pa : 0;
    const cap_Pa = fault?.kind === 'pump-limited' ? fault.pressure_Pa : Infinity;
    this.true_Pa = Math.min(cap_Pa, Math.max(LOWEST_SHARE * nominal_Pa, nominal_Pa + error_Pa + offset_Pa));
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
    const fault = this.tip.fault;
    const factor =
      fault?.kind === 'worn' ? 1 + fault.share : fault?.kind === 'restricted' ? 1 - fault.share : 1;
    return this.tip.nozzleConstant_m3_per_s_per_sqrtPa * factor;
  }

  /** Flow at the true pressure, m3/s. */
  get flow_m3_per_s(): number {
    const { fault } = this.tip;
    const orifice = this.trueNozzleConstant_m3_per_s_per_sqrtPa * Math.sqrt(this.true_Pa);
    if (fault?.kind !== 'leaking') return orifice;
    const middle_Pa = 40 * PSI_PA;
    const atMiddle = this.tip.nozzleConstant_m3_per_s_per_sqrtPa * Math.sqrt(middle_Pa);
    return orifice + fault.share * atMiddle * (this.true_Pa / middle_Pa) ** 1.25;
  }
}
