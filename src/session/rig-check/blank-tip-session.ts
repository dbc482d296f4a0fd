import { dripRate, type DripRate } from '../../analysis/checks/drip-rate.ts';
import type { Warning } from '../../base/because.ts';
import { ok, refused, type Outcome, type Refusal } from '../../base/outcome.ts';
import { createStepFinder } from '../../signal/catches/step-finder.ts';
import type { Reading, StreamEvent } from '../../signal/reading.ts';
import type { RigCheckMachine, RigCheckProgress, RigCheckPrompt } from './rig-check-view.ts';
import type { SlopeHeard } from './slope-heard.ts';

/** The swing of opening the trigger is over after so long. */
const SETTLE_S = 3;
/** Watched for a minute; with a display coarser than a gram two, or its steps would be all there is. */
const WATCH_S = 60;
const WATCH_COARSE_S = 120;
const COARSE_KG = 1.01e-3;
/** A leak grows as pressure to about this (measurement 5.3). */
const LEAK_EXPONENT = 1.25;
/** The sensor shows so much of the pressure: it stands. */
const STANDS = 0.9;

export interface BlankTipPlan {
  /** On the dial; whatever the dial may be off, it stays within the limit, which the caller has seen to. */
  readonly pressure_Pa: number;
  readonly pressureStandardUncertainty_Pa: number;
  /** A sensor that reads more than this ends the test. */
  readonly limit_Pa: number;
  readonly heard: SlopeHeard;
  readonly sensor_Pa: ((reading: Reading) => number | null) | null;
  /** Was the scale found to show a slow trickle? Null: nobody tested it. */
  readonly showsSlowChange: boolean | null;
}

/** A blank in the tip's place under pressure: the scale weighs what comes out all the same. */
export class BlankTipSession implements RigCheckMachine {
  readonly #plan: BlankTipPlan;
  readonly #steps = createStepFinder();
  readonly #time_s: number[] = [];
  readonly #mass_kg: number[] = [];
  #prompt: RigCheckPrompt = { kind: 'fit-blank' };
  #said: RigCheckPrompt[] = [{ kind: 'fit-blank' }];
  #lastDigit_kg = 0;
  #now_s = 0;
  /** Since when the drip is watched; null before. */
  #since_s: number | null = null;
  #found: DripRate | null = null;
  #failed: Refusal | null = null;

  constructor(plan: BlankTipPlan) {
    this.#plan = plan;
  }

  get prompt(): RigCheckPrompt {
    return this.#prompt;
  }

  get isOver(): boolean {
    return this.#found !== null || this.#failed !== null;
  }

  accept(event: StreamEvent): readonly RigCheckPrompt[] {
    if (this.isOver) return [];
    if (event.kind === 'unit-changed' || (event.kind === 'gap' && event.because !== 'lines-lost')) {
      // Nothing is joined across a hole: the watching begins anew.
      if (this.#since_s !== null) this.#watch();
    } else if (event.kind === 'reading') this.#take(event.reading);
    return this.#told();
  }

  /** The large button: the blank is in; the pressure stands. */
  answer(value_Pa: number | null): Outcome<readonly RigCheckPrompt[]> {
    if (value_Pa !== null) return refused('no-answer-asked');
    if (this.#prompt.kind === 'fit-blank')
      this.#say({ kind: 'pressurise-blank', pressure_Pa: this.#plan.pressure_Pa });
    else if (this.#prompt.kind === 'pressurise-blank') this.#watch();
    else return refused('no-answer-asked');
    return ok(this.#told());
  }

  view(): RigCheckProgress {
    const watched_s = this.#since_s === null ? 0 : Math.max(0, this.#now_s - this.#since_s);
    const { kind } = this.#prompt;
    return {
      kind: 'blank-tip',
      prompt: this.#prompt,
      asks: kind === 'fit-blank' ? 'blank-is-in' : kind === 'pressurise-blank' ? 'pressure-stands' : null,
      flow_m3_per_s: this.#since_s === null ? null : this.#plan.heard.flow_m3_per_s(10),
      progress: this.isOver ? 1 : Math.min(1, watched_s / this.#lasts_s),
      secondsLeft:
        this.#since_s === null || this.isOver ? null : Math.max(0, Math.ceil(this.#lasts_s - watched_s)),
      found:
        this.#found === null
          ? []
          : [
              {
                kind: 'blank-tip',
                leak_m3_per_s: this.#found.leak_m3_per_s,
                standardUncertainty_m3_per_s: this.#doubt_m3_per_s(this.#found),
                pressure_Pa: this.#plan.pressure_Pa,
              },
            ],
      warnings: this.#warnings,
      isOver: this.isOver,
      failed: this.#failed,
    };
  }

  get #step_kg(): number {
    return Math.max(this.#lastDigit_kg, this.#steps.step_kg);
  }

  get #lasts_s(): number {
    return this.#step_kg > COARSE_KG ? WATCH_COARSE_S : WATCH_S;
  }

  /** Nothing seen by a scale that nobody has tested for it may be the scale's doing. */
  get #warnings(): readonly Warning[] {
    if (this.#found === null || this.#plan.showsSlowChange === true) return [];
    const { leak_m3_per_s, standardUncertainty_m3_per_s: u, identical } = this.#found;
    return identical || leak_m3_per_s < 2 * u ? ['slow-drip-may-be-swallowed'] : [];
  }

  /** The leak's own, and what the doubt of the pressure makes of it. */
  #doubt_m3_per_s({ leak_m3_per_s, standardUncertainty_m3_per_s }: DripRate): number {
    const { pressure_Pa, pressureStandardUncertainty_Pa } = this.#plan;
    const byPressure = (LEAK_EXPONENT * leak_m3_per_s * pressureStandardUncertainty_Pa) / pressure_Pa;
    return Math.hypot(standardUncertainty_m3_per_s, byPressure);
  }

  #take(reading: Reading): void {
    const { heard, sensor_Pa, pressure_Pa } = this.#plan;
    const { time_s, mass_kg, step_kg } = reading;
    this.#now_s = time_s;
    const level_kg = heard.push(reading);
    if (step_kg !== null) this.#lastDigit_kg = Math.max(this.#lastDigit_kg, step_kg);
    if (mass_kg !== null && step_kg !== null) this.#steps.push(mass_kg);
    const felt_Pa = sensor_Pa?.(reading) ?? null;
    // Before that the pressure is being let out already.
    if (this.#prompt.kind !== 'fit-blank' && felt_Pa !== null && felt_Pa > this.#plan.limit_Pa) {
      this.#fail(refused('blank-pressure-too-high', { read_Pa: felt_Pa, limit_Pa: this.#plan.limit_Pa }));
      return;
    }
    if (this.#prompt.kind === 'pressurise-blank' && felt_Pa !== null && felt_Pa > STANDS * pressure_Pa)
      this.#watch();
    if (this.#since_s === null || time_s < this.#since_s) return;
    this.#time_s.push(time_s);
    this.#mass_kg.push(level_kg ?? NaN);
    if (time_s - this.#since_s >= this.#lasts_s) this.#finish();
  }

  #watch(): void {
    this.#since_s = this.#now_s + SETTLE_S;
    this.#time_s.length = 0;
    this.#mass_kg.length = 0;
    if (this.#prompt.kind !== 'watch-drip') this.#say({ kind: 'watch-drip' });
  }

  #finish(): void {
    const found = dripRate(this.#time_s, this.#mass_kg, this.#step_kg);
    if (!found.ok) {
      this.#fail(found);
      return;
    }
    this.#found = found.value;
    this.#say({ kind: 'rig-check-done', leaves: 'blank' });
  }

  #fail(because: Refusal): void {
    this.#failed = because;
    this.#say({ kind: 'rig-check-failed', because: because.because, leaves: 'blank' });
  }

  #say(prompt: RigCheckPrompt): void {
    this.#prompt = prompt;
    this.#said.push(prompt);
  }

  #told(): readonly RigCheckPrompt[] {
    const said = this.#said;
    this.#said = [];
    return said;
  }
}
