import { RunningFlow, type PooledNoise, type RunningLook } from '../../analysis/flow/running-flow.ts';
import type { HeardWater } from '../heard-water.ts';
import type { RunningCatch } from '../session-view.ts';
import type { RigSetup } from '../sweep-setup.ts';
import { LEAST_PLATEAU_S } from './pour-plan.ts';
import type { PourReadings } from './pour-readings.ts';

/** Between two looks at the running flow; a person can't read faster. */
const LOOK_EVERY_S = 0.25;

export interface PlateauBegin {
  readonly setting_Pa: number;
  readonly start_s: number;
  /** Level of the pail before the water, for the first setting of a pour; null for a later one. */
  readonly base_kg: number | null;
  /** The jet's push as the first setting of the pour showed it; null while that one runs. */
  readonly jet_kg: number | null;
  readonly pooled: PooledNoise | null;
}

/** The setting that runs now in a pour: its flow so far by the same rules as a catch's, at least 15 s of it. */
export class PlateauInHand {
  readonly setting_Pa: number;
  readonly start_s: number;
  readonly #water: HeardWater;
  readonly #flow: RunningFlow;
  readonly #targetRelative: number;
  #look: RunningLook | null = null;
  #lastLook_s = -Infinity;

  constructor(
    begin: PlateauBegin,
    water: HeardWater,
    rig: Pick<RigSetup, 'wand'> & { readonly longest_s: number },
    targetRelative: number,
    readings: PourReadings,
  ) {
    this.#water = water;
    this.setting_Pa = begin.setting_Pa;
    this.start_s = begin.start_s;
    this.#targetRelative = targetRelative;
    this.#flow = new RunningFlow({
      start_s: begin.start_s,
      averagedReadings: water.averagedReadings,
      wand: rig.wand,
      targetRelative,
      minimum_s: LEAST_PLATEAU_S,
      longest_s: rig.longest_s,
      pooled: begin.pooled,
      base_kg: begin.base_kg,
      jet_kg: begin.jet_kg,
    });
    readings.time_s.forEach((time_s, i) => {
      const mass_kg = readings.mass_kg[i]!;
      if (time_s >= begin.start_s && Number.isFinite(mass_kg)) this.#flow.push(time_s, mass_kg);
    });
  }

  /** A reading. Answers a new look at the flow when one was due. */
  reading(time_s: number, mass_kg: number): RunningLook | null {
    this.#flow.push(time_s, mass_kg);
    if (time_s - this.#lastLook_s < LOOK_EVERY_S) return null;
    this.#lastLook_s = time_s;
    this.#look = this.#flow.look(time_s);
    return this.#look;
  }

  get jet_kg(): number | null {
    return this.#flow.jet_kg;
  }

  get flow_kg_per_s(): number | null {
    return this.#look?.flow_kg_per_s ?? null;
  }

  /** The pool with what this setting's noise adds to it. */
  addTo(pooled: PooledNoise | null): PooledNoise | null {
    const spent = this.#flow.evidence();
    if (spent === null) return pooled;
    return {
      sumOfSquares: (pooled?.sumOfSquares ?? 0) + spent.sumOfSquares,
      degreesOfFreedom: (pooled?.degreesOfFreedom ?? 0) + spent.degreesOfFreedom,
    };
  }

  view(): RunningCatch {
    const look = this.#look;
    const flow = look?.flow_kg_per_s ?? null;
    const half = look?.halfWidth_kg_per_s ?? null;
    return {
      start_s: this.start_s,
      elapsed_s: look?.elapsed_s ?? 0,
      flow_m3_per_s: flow === null ? null : this.#water.flow_m3_per_s(flow),
      expanded_m3_per_s: half === null ? null : this.#water.halfWidth_m3_per_s(half),
      targetRelative: this.#targetRelative,
      progress: look?.progress ?? 0,
      secondsLeft: look?.secondsLeft ?? null,
      caught_kg: (flow ?? 0) * (look?.elapsed_s ?? 0),
    };
  }
}
