import { LARGEST_PUSH_PER_FLOW_s } from '../analysis/flow/jet-allowance.ts';
import { RunningFlow, type PooledNoise, type RunningLook } from '../analysis/flow/running-flow.ts';
import { catchLengths, type CatchLengths } from '../analysis/rigs/catch-length.ts';
import { hosePullAsPush_kg } from '../analysis/rigs/hose-pull.ts';
import { rigReaders } from '../analysis/rigs/rig-readers.ts';
import type { SwellingWatch } from '../analysis/rigs/swelling-watch.ts';
import type { HeardWater } from './heard-water.ts';
import type { RunningCatch } from './session-view.ts';
import type { RigSetup } from './sweep-setup.ts';

/** Between two looks at the running flow; a person can't read faster. */
const LOOK_EVERY_S = 0.25;
/** Readings remembered before a start is heard, so that the catch begins with its first drop. */
const REMEMBERED_S = 12;

/** The catch that runs now, if one does: its flow so far, and the noise that earlier catches leave to it. */
export class CatchInHand {
  readonly #averagedReadings: number | null;
  readonly #rig: RigSetup;
  readonly #targetRelative: number;
  /** How what is heard becomes a flow: the number on the screen is the one that is kept. */
  readonly #water: HeardWater;
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

  readonly #lengths: CatchLengths;
  #swelling: SwellingWatch | null = null;
  #running_s = 0;

  constructor(water: HeardWater, rig: RigSetup, targetRelative: number) {
    this.#lengths = catchLengths(rig);
    this.#water = water;
    this.#averagedReadings = water.averagedReadings;
    this.#rig = rig;
    this.#targetRelative = targetRelative;
  }

  /** What the next catch must have room for: the longest that one of the later catches needed. */
  get longestEnough_s(): number {
    const { first_s, later_s, longest_s } = this.#lengths;
    const needed_s = this.#needed_s.length < 2 ? first_s : Math.max(later_s, ...this.#needed_s.slice(1));
    return Math.min(needed_s, longest_s);
  }

  get runs(): boolean {
    return this.#flow !== null;
  }

  /** A hose that has not swollen yet: its flow so far is not the one that counts. */
  get isSwelling(): boolean {
    return this.#swelling !== null;
  }

  get start_s(): number {
    return this.#start_s;
  }

  /** @param base_kg the last quiet level: the jet's push is the step from there. */
  begin(start_s: number, isFirst: boolean, base_kg: number | null): void {
    this.#start_s = start_s;
    this.#lastLook_s = -Infinity;
    this.#hasEnough = false;
    const { first_s, later_s, longest_s } = this.#lengths;
    const lengths = { minimum_s: isFirst ? first_s : later_s, longest_s };
    this.#running_s = 0;
    this.#swelling =
      this.#rig.kind === 'hose-reel' ? rigReaders().watchSwelling(start_s, this.#averagedReadings) : null;
    this.#flow = this.#newFlow(start_s, lengths, base_kg);
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
    this.#running_s = time_s - this.#start_s;
    if (time_s - this.#lastLook_s < LOOK_EVERY_S) return null;
    this.#lastLook_s = time_s;
    this.#lookForSteady(time_s);
    const look = this.#flow.look(time_s);
    // Until the hose is steady the only end is the longest catch.
    if (this.#swelling !== null && look.because !== 'longest-catch') return null;
    this.#look = look;
    if (this.#look.enough && !this.#hasEnough) {
      this.#hasEnough = true;
      this.#needed_s.push(this.#running_s);
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
    this.#swelling = null;
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
    return {
      start_s: this.#start_s,
      elapsed_s: look === null ? this.#running_s : Math.max(look.elapsed_s, this.#running_s),
      flow_m3_per_s: flow === null ? null : this.#water.flow_m3_per_s(flow),
      expanded_m3_per_s: halfWidth === null ? null : this.#water.halfWidth_m3_per_s(halfWidth),
      targetRelative: this.#targetRelative,
      progress: look?.progress ?? 0,
      secondsLeft: look?.secondsLeft ?? null,
      caught_kg: (flow ?? 0) * (look === null ? 0 : Math.max(look.elapsed_s, this.#running_s)),
    };
  }

  #newFlow(
    start_s: number,
    lengths: { readonly minimum_s: number; readonly longest_s: number },
    base_kg: number | null,
    known_kg: number | null = null,
  ): RunningFlow {
    const { wand, standsOnScale, kind, strokePeriod_s } = this.#rig;
    const jet_kg = this.#water.isMetered
      ? 0
      : standsOnScale === 'sprayer'
        ? hosePullAsPush_kg(wand)
        : known_kg;
    return new RunningFlow({
      start_s,
      averagedReadings: this.#averagedReadings,
      wand,
      targetRelative: this.#targetRelative,
      ...lengths,
      pooled: this.#pooled,
      base_kg,
      ...(jet_kg === null ? {} : { jet_kg }),
      ...(kind === 'pumped-up' ? { bends: true } : {}),
      ...(kind === 'pumped-while-spraying' ? { strokePeriod_s } : {}),
    });
  }

  /** Once the hose is steady the catch is measured from there on, as if it had begun then. */
  #lookForSteady(time_s: number): void {
    const swollen = this.#swelling?.look(time_s) ?? null;
    if (swollen === null) return;
    this.#swelling = null;
    const { later_s, longest_s } = this.#lengths;
    const gone_s = swollen.start_s - this.#start_s;
    this.#flow = this.#newFlow(
      swollen.start_s,
      { minimum_s: later_s, longest_s: Math.max(later_s, longest_s - gone_s) },
      null,
      // The push can't be told from the start of a hose: by momentum, the most it can be.
      LARGEST_PUSH_PER_FLOW_s * swollen.flow_kg_per_s,
    );
    swollen.readings.time_s.forEach((at_s, i) => {
      if (at_s >= swollen.start_s) this.#flow?.push(at_s, swollen.readings.mass_kg[i]!);
    });
  }

  #push(time_s: number, mass_kg: number): void {
    if (time_s <= this.#lastPushed_s) return;
    this.#swelling?.push(time_s, mass_kg);
    this.#flow?.push(time_s, mass_kg);
    this.#lastPushed_s = time_s;
  }
}
