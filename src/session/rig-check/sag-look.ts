import type { Wand } from '../../analysis/flow/jet-allowance.ts';
import { LARGEST_PUSH_PER_FLOW_s } from '../../analysis/flow/jet-allowance.ts';
import { RunningFlow } from '../../analysis/flow/running-flow.ts';
import { tQuantile } from '../../base/statistics/distributions.ts';
import { meanAndDeviation } from '../../base/statistics/mean-and-deviation.ts';

/** Each look lasts so long. */
export const LOOK_S = 30;

export interface SagLookOptions {
  readonly wand: Wand;
  readonly averagedReadings: number | null;
  /** Nothing is weighed: no jet pushes on it. */
  readonly metered: boolean;
}

/** Of a normal error. What comes with few degrees of freedom has its t in it already. */
const Z95 = 1.959964;
/** Means of so many seconds each: what a sensor's noise and the pump's strokes leave of the pressure. */
const BLOCK_S = 5;
const FEWEST_BLOCKS = 4;

/** One look of the sag test: as much of a catch as steady water and a while give; its ± is that of a catch in hand. */
export class SagLook {
  readonly rate_kg_per_s: number;
  readonly jet_kg: number;
  readonly #start_s: number;
  readonly #flow: RunningFlow;
  readonly #blocks = new Map<number, { sum_Pa: number; readings: number }>();
  #newest_s: number;

  /** @param jet_kg how hard the jet pushes on the pail; null: nobody knows, as hard as it can at 40 psi. */
  constructor(
    { wand, averagedReadings, metered }: SagLookOptions,
    start_s: number,
    rate_kg_per_s: number,
    jet_kg: number | null,
  ) {
    this.#start_s = start_s;
    this.#newest_s = start_s;
    this.rate_kg_per_s = rate_kg_per_s;
    this.jet_kg = metered ? 0 : (jet_kg ?? LARGEST_PUSH_PER_FLOW_s * rate_kg_per_s);
    this.#flow = new RunningFlow({
      start_s,
      averagedReadings,
      wand,
      // No ± is small enough to stop it sooner: each look lasts as long as the other.
      targetRelative: 1e-9,
      minimum_s: LOOK_S,
      longest_s: LOOK_S,
      pooled: null,
      jet_kg: this.jet_kg,
    });
  }

  get elapsed_s(): number {
    return this.#newest_s - this.#start_s;
  }

  get middle_s(): number {
    return (this.#start_s + this.#newest_s) / 2;
  }

  push(time_s: number, level_kg: number | null, pressure_Pa: number | null): void {
    this.#newest_s = time_s;
    this.#flow.push(time_s, level_kg);
    this.#flow.look(time_s);
    if (pressure_Pa === null) return;
    const index = Math.floor((time_s - this.#start_s) / BLOCK_S);
    const block = this.#blocks.get(index) ?? { sum_Pa: 0, readings: 0 };
    this.#blocks.set(index, block);
    block.sum_Pa += pressure_Pa;
    block.readings += 1;
  }

  /** Null: too few readings. The ± is the catch's own, jet included. */
  flow(): { readonly rate_kg_per_s: number; readonly standardUncertainty_kg_per_s: number } | null {
    const { flow_kg_per_s, halfWidth_kg_per_s } = this.#flow.look(this.#newest_s);
    if (flow_kg_per_s === null || halfWidth_kg_per_s === null || !(flow_kg_per_s > 0)) return null;
    return { rate_kg_per_s: flow_kg_per_s, standardUncertainty_kg_per_s: halfWidth_kg_per_s / Z95 };
  }

  /** Null: no sensor, or it did not read all the while. From the scatter of the blocks' means, t taken in. */
  pressure(): { readonly mean_Pa: number; readonly standardUncertainty_Pa: number } | null {
    const means = [...this.#blocks.values()].map(({ sum_Pa, readings }) => sum_Pa / readings);
    if (means.length < FEWEST_BLOCKS) return null;
    const { mean, standardDeviation } = meanAndDeviation(means);
    const t = tQuantile(0.975, means.length - 1);
    return {
      mean_Pa: mean,
      standardUncertainty_Pa: ((t / Z95) * (standardDeviation ?? 0)) / Math.sqrt(means.length),
    };
  }
}
