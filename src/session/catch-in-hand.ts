import { RunningFlow, type PooledNoise, type RunningLook } from '../analysis/flow/running-flow.ts';
import type { RunningCatch } from './session-view.ts';
import type { RigSetup } from './sweep-setup.ts';

/** A first catch runs 30 s, later ones at least 15 s; none more than 60 s (measurement notes 11.1). */
export const FIRST_CATCH_S = 30;
const LATER_CATCH_S = 15;
export const LONGEST_CATCH_S = 60;
/** Between two looks at the running flow; a person can't read faster. */
const LOOK_EVERY_S = 0.25;
/** Readings remembered before a start is heard, so that the catch begins with its first drop. */
const REMEMBERED_S = 12;
const WATER_KG_PER_M3 = 998;

/** The catch that runs now, if one does: its flow so far, and the noise that earlier catches leave to it. */
export class CatchInHand {
  readonly #averagedReadings: number | null;
  readonly #rig: RigSetup;
  readonly #targetRelative: number;
  /** True over shown mass, where the scale was checked and is corrected: the number on the screen is the one that is kept. */
  readonly #scaleFactor: number;
  #recent: { readonly time_s: number; readonly mass_kg: number }[] = [];
  #flow: RunningFlow | null = null;
  #start_s = 0;
  #look: RunningLook | null = null;
  #lastLook_s = -Infinity;
  #lastPushed_s = -Infinity;
  #hasEnough = false;
  #pooled: PooledNoise | null = null;
  /** How long catches of this sweep took to have enough; the first one is longer by rule. */
  readonly #needed_s: number[] = [];

  constructor(averagedReadings: number | null, rig: RigSetup, targetRelative: number, scaleFactor = 1) {
    this.#scaleFactor = scaleFactor;
    this.#averagedReadings = averagedReadings;
    this.#rig = rig;
    this.#targetRelative = targetRelative;
  }

  /** What the next catch must have room for: the longest that one of the later catches needed. */
  get longestEnough_s(): number {
    return this.#needed_s.length < 2 ? FIRST_CATCH_S : Math.max(LATER_CATCH_S, ...this.#needed_s.slice(1));
  }

  get runs(): boolean {
    return this.#flow !== null;
  }

  get start_s(): number {
    return this.#start_s;
  }

  /** @param base_kg the last quiet level: the jet's push is the step from there. */
  begin(start_s: number, isFirst: boolean, base_kg: number | null): void {
    this.#start_s = start_s;
    this.#lastLook_s = -Infinity;
    this.#hasEnough = false;
    this.#flow = new RunningFlow({
      start_s,
      averagedReadings: this.#averagedReadings,
      wand: this.#rig.wand,
      targetRelative: this.#targetRelative,
      minimum_s: isFirst ? FIRST_CATCH_S : LATER_CATCH_S,
      longest_s: LONGEST_CATCH_S,
      pooled: this.#pooled,
      base_kg,
    });
    for (const r of this.#recent) if (r.time_s >= start_s) this.#push(r.time_s, r.mass_kg);
    this.#recent = [];
  }

  /** A reading, running or not. Answers a new look at the flow when one was due. */
  reading(time_s: number, mass_kg: number): RunningLook | null {
    if (this.#flow === null) {
      this.#recent.push({ time_s, mass_kg });
      while (this.#recent[0]!.time_s < time_s - REMEMBERED_S) this.#recent.shift();
      return null;
    }
    this.#push(time_s, mass_kg);
    if (time_s - this.#lastLook_s < LOOK_EVERY_S) return null;
    this.#lastLook_s = time_s;
    this.#look = this.#flow.look(time_s);
    if (this.#look.enough && !this.#hasEnough) {
      this.#hasEnough = true;
      this.#needed_s.push(this.#look.elapsed_s);
    }
    return this.#look;
  }

  /** It is over. `leavesEvidence`: its noise helps to judge the later ones. */
  end(leavesEvidence: boolean): void {
    const spent = leavesEvidence ? (this.#flow?.evidence() ?? null) : null;
    if (spent !== null)
      this.#pooled = {
        sumOfSquares: (this.#pooled?.sumOfSquares ?? 0) + spent.sumOfSquares,
        degreesOfFreedom: (this.#pooled?.degreesOfFreedom ?? 0) + spent.degreesOfFreedom,
      };
    this.#flow = null;
    this.#look = null;
    this.#lastPushed_s = -Infinity;
  }

  /** Readings are not continuous here: nothing before it may begin a catch. */
  forget(): void {
    this.#recent = [];
  }

  view(): RunningCatch {
    const look = this.#look;
    const flow = look?.flow_kg_per_s ?? null;
    const halfWidth = look?.halfWidth_kg_per_s ?? null;
    const perMass = this.#scaleFactor / WATER_KG_PER_M3;
    return {
      start_s: this.#start_s,
      elapsed_s: look?.elapsed_s ?? 0,
      flow_m3_per_s: flow === null ? null : flow * perMass,
      expanded_m3_per_s: halfWidth === null ? null : halfWidth * perMass,
      targetRelative: this.#targetRelative,
      progress: look?.progress ?? 0,
      secondsLeft: look?.secondsLeft ?? null,
      caught_kg: (flow ?? 0) * (look?.elapsed_s ?? 0),
    };
  }

  #push(time_s: number, mass_kg: number): void {
    if (time_s <= this.#lastPushed_s) return;
    this.#flow?.push(time_s, mass_kg);
    this.#lastPushed_s = time_s;
  }
}
