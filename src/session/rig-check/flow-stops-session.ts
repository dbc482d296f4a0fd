import type { RigCheckFound } from '../../analysis/diagnosis/evidence.ts';
import { flowStop } from '../../analysis/checks/flow-stop.ts';
import { ok, refused, type Outcome, type Refusal } from '../../base/outcome.ts';
import type { Reading, StreamEvent } from '../../signal/reading.ts';
import type { RigCheckMachine, RigCheckProgress, RigCheckPrompt } from './rig-check-view.ts';
import type { SlopeHeard } from './slope-heard.ts';

/** Faster than this water runs, slower it does not: between them it is waited. A drip after shut-off is slower by far. */
const RUNS_KG_PER_S = 1e-3;
const STANDS_KG_PER_S = 0.6e-3;
/** The flow is judged over so long, and that it is steady by two such spans. */
const SPAN_S = 3;
const STOPPED_FOR_S = 1.5;
/** Reaction and turn take this long; before that nothing is judged to run at the new mark. */
const LEAST_S = 5;
const STEADY_SHARE = 0.1;
const STEADY_KG_PER_S = 1e-3;
/** So much of the fall that the square root expects has to be seen, or the dial has not been turned. */
const FALL_SEEN = 0.4;
const AGAIN_AFTER_S = 12;
const GOES_ON_AFTER_S = 20;
/** A knob may come to nearly the same pressure once, but not at so many marks running. */
const MOST_UNCHANGED = 2;
const NO_WATER_AFTER_S = 90;

export interface FlowStopsPlan {
  /** From high to low. */
  readonly marks_Pa: readonly number[];
  readonly settingStandardUncertainty_Pa: number;
  readonly heard: SlopeHeard;
  /** Reads the pressure, and how well; null: the mark on the dial counts. */
  readonly sensor: {
    readonly standardUncertainty_Pa: number;
    readonly pressure_Pa: (reading: Reading) => number | null;
  } | null;
}

/**
 * Spraying, the dial is turned down from mark to mark; the scale hears at which no water comes any more. No typing: the flow stopped
 * between two marks. A dial that can't go lower is told by the large button, or by nothing changing any more.
 */
export class FlowStopsSession implements RigCheckMachine {
  readonly #plan: FlowStopsPlan;
  #index = 0;
  #prompt: RigCheckPrompt;
  #said: RigCheckPrompt[] = [];
  #now_s = 0;
  #asked_s: number | null = null;
  #stoodSince_s: number | null = null;
  /** Flow and pressure at the last mark at which water ran. */
  #ran: { readonly rate_kg_per_s: number; readonly pressure_Pa: number } | null = null;
  #felt_Pa: number | null = null;
  #found: RigCheckFound | null = null;
  #unchanged = 0;
  #ranAtLowest = false;
  #failed: Refusal | null = null;

  constructor(plan: FlowStopsPlan) {
    this.#plan = plan;
    this.#prompt = { kind: 'set-and-spray', setting_Pa: plan.marks_Pa[0]!, turnAwayFirst: false };
    this.#said.push(this.#prompt);
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
      // What was heard before a hole is not joined with what comes after it: this mark is judged anew.
      this.#plan.heard.clear();
      this.#asked_s = null;
      this.#stoodSince_s = null;
    } else if (event.kind === 'reading') this.#hear(event.reading);
    return this.#told();
  }

  /** The large button: the dial goes no lower. */
  answer(value_Pa: number | null): Outcome<readonly RigCheckPrompt[]> {
    if (this.isOver || value_Pa !== null || this.#ran === null) return refused('no-answer-asked');
    this.#ranOn();
    return ok(this.#told());
  }

  view(): RigCheckProgress {
    return {
      kind: 'flow-stops-at',
      prompt: this.#prompt,
      asks: this.isOver || this.#ran === null ? null : 'goes-no-lower',
      flow_m3_per_s: this.isOver ? null : this.#plan.heard.flow_m3_per_s(SPAN_S),
      progress: this.isOver ? 1 : this.#index / this.#plan.marks_Pa.length,
      secondsLeft: null,
      found: this.#found === null ? [] : [this.#found],
      warnings: this.#ranAtLowest ? ['flow-ran-at-lowest-mark'] : [],
      isOver: this.isOver,
      failed: this.#failed,
    };
  }

  #hear(reading: Reading): void {
    const { heard, sensor } = this.#plan;
    const { time_s } = reading;
    this.#now_s = time_s;
    this.#asked_s ??= time_s;
    this.#felt_Pa = sensor?.pressure_Pa(reading) ?? this.#felt_Pa;
    heard.push(reading);
    const rate = heard.over(SPAN_S);
    const before = heard.over(SPAN_S, SPAN_S);
    if (rate === null || before === null) return;
    const waited_s = time_s - this.#asked_s;
    if (rate >= STANDS_KG_PER_S) this.#stoodSince_s = null;
    else this.#stoodSince_s ??= time_s;
    if (this.#ran === null) {
      if (this.#isSteady(rate, before) && waited_s >= LEAST_S && rate > RUNS_KG_PER_S) this.#ranHere(rate);
      else if (waited_s > NO_WATER_AFTER_S) this.#fail(refused('flow-not-heard'));
      return;
    }
    if (this.#stoodSince_s !== null && time_s - this.#stoodSince_s >= STOPPED_FOR_S) {
      this.#stopped();
      return;
    }
    if (waited_s < LEAST_S) return;
    const isTurned = rate < this.#expectedBelow();
    if (isTurned && rate > RUNS_KG_PER_S && this.#isSteady(rate, before)) this.#ranHere(rate);
    else if (!isTurned && waited_s > GOES_ON_AFTER_S) this.#unchangedHere(rate);
    else if (!isTurned && waited_s > AGAIN_AFTER_S) this.#askAgain();
  }

  #isSteady(rate: number, before: number): boolean {
    return Math.abs(rate - before) < STEADY_KG_PER_S + STEADY_SHARE * rate;
  }

  /** A flow below this has fallen since the last mark, as it does when the dial is turned. */
  #expectedBelow(): number {
    const { marks_Pa } = this.#plan;
    const ratio = Math.sqrt(marks_Pa[this.#index]! / marks_Pa[this.#index - 1]!);
    return this.#ran!.rate_kg_per_s * (1 - FALL_SEEN * (1 - ratio));
  }

  /** Water runs and no change was heard: the knob came back to nearly the same, or the dial goes no lower. */
  #unchangedHere(rate_kg_per_s: number): void {
    this.#unchanged += 1;
    if (this.#unchanged >= MOST_UNCHANGED) this.#ranOn();
    else this.#go(Math.min(rate_kg_per_s, this.#ran!.rate_kg_per_s));
  }

  #ranHere(rate_kg_per_s: number): void {
    this.#unchanged = 0;
    this.#go(rate_kg_per_s);
  }

  #go(rate_kg_per_s: number): void {
    const { marks_Pa } = this.#plan;
    this.#ran = { rate_kg_per_s, pressure_Pa: this.#felt_Pa ?? marks_Pa[this.#index]! };
    this.#index += 1;
    if (this.#index === marks_Pa.length) this.#ranOn();
    else this.#ask(false);
  }

  #askAgain(): void {
    if (this.#prompt.kind === 'turn-while-spraying' && !this.#prompt.again)
      this.#say({ ...this.#prompt, again: true });
  }

  #ask(again: boolean): void {
    this.#asked_s = this.#now_s;
    this.#say({ kind: 'turn-while-spraying', setting_Pa: this.#plan.marks_Pa[this.#index]!, again });
  }

  #stopped(): void {
    const at_Pa = this.#felt_Pa ?? this.#plan.marks_Pa[this.#index]!;
    this.#end(Math.min(at_Pa, this.#ran!.pressure_Pa));
  }

  /** Water ran to the end: the flow stops somewhere between there and nothing. */
  #ranOn(): void {
    this.#ranAtLowest = true;
    this.#end(0);
  }

  #end(stopped_Pa: number): void {
    const { sensor, settingStandardUncertainty_Pa } = this.#plan;
    const u_Pa = sensor?.standardUncertainty_Pa ?? settingStandardUncertainty_Pa;
    this.#found = { kind: 'flow-stops-at', ...flowStop(this.#ran!.pressure_Pa, stopped_Pa, u_Pa) };
    this.#say({ kind: 'rig-check-done', leaves: 'open-trigger' });
  }

  #fail(because: Refusal): void {
    this.#failed = because;
    this.#say({ kind: 'rig-check-failed', because: because.because, leaves: 'open-trigger' });
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
