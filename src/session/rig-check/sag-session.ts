import type { RigCheckFound } from '../../analysis/diagnosis/evidence.ts';
import { sagOf, type SagSeenBy } from '../../analysis/checks/sag.ts';
import { ok, refused, type Outcome, type Refusal } from '../../base/outcome.ts';
import type { Reading, StreamEvent } from '../../signal/reading.ts';
import type { RigCheckMachine, RigCheckProgress, RigCheckPrompt } from './rig-check-view.ts';
import { LOOK_S, SagLook, type SagLookOptions } from './sag-look.ts';
import type { SlopeHeard } from './slope-heard.ts';

/** Between the two looks, unless the person has had enough. */
const SPRAY_S = 120;
/** Faster than this water runs into the pail, slower it does not. */
const RUNS_KG_PER_S = 1e-3;
/** The flow is judged over so long, and that it is steady by two such spans. */
const SPAN_S = 3;
const STEADY_SHARE = 0.1;
/** A look in which the flow fell below this part of what it was is none: the wand went elsewhere. */
const LEFT_SHARE = 0.5;
const NO_WATER_AFTER_S = 120;
/** Shares of the whole, for the bar. */
const LOOK_PART = 0.2;

export interface SagPlan {
  readonly setting_Pa: number;
  readonly heard: SlopeHeard;
  readonly look: SagLookOptions;
  readonly sensor_Pa: ((reading: Reading) => number | null) | null;
}

/**
 * Does the pressure fall while it sprays (measurement 11.11)? A look at the flow (with a sensor: at the pressure), two minutes of spraying
 * anywhere, a look again; the dial is not touched, so that nothing of it stands between the two.
 */
export class SagSession implements RigCheckMachine {
  readonly #plan: SagPlan;
  #prompt: RigCheckPrompt;
  #said: RigCheckPrompt[] = [];
  #now_s = 0;
  /** Since when this was asked; null until a reading tells the time. */
  #asked_s: number | null = null;
  #look: SagLook | null = null;
  #first: SagLook | null = null;
  #found: RigCheckFound | null = null;
  #failed: Refusal | null = null;

  constructor(plan: SagPlan) {
    this.#plan = plan;
    this.#prompt = { kind: 'set-and-spray', setting_Pa: plan.setting_Pa, turnAwayFirst: false };
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
      // Nothing is joined across a hole: a look in hand begins anew, and what was asked is waited for as long as at first.
      this.#plan.heard.clear();
      this.#leaveLook();
    } else if (event.kind === 'reading') this.#hear(event.reading);
    return this.#told();
  }

  /** The large button: sprayed long enough. */
  answer(value_Pa: number | null): Outcome<readonly RigCheckPrompt[]> {
    if (value_Pa !== null || this.#prompt.kind !== 'spray-on') return refused('no-answer-asked');
    this.#catchAgain();
    return ok(this.#told());
  }

  view(): RigCheckProgress {
    const { kind } = this.#prompt;
    const looked = Math.min(1, (this.#look?.elapsed_s ?? 0) / LOOK_S);
    const sprayed_s = kind === 'spray-on' && this.#asked_s !== null ? this.#now_s - this.#asked_s : 0;
    const progress =
      this.#first === null
        ? LOOK_PART * looked
        : kind === 'spray-on'
          ? LOOK_PART + (1 - 2 * LOOK_PART) * Math.min(1, sprayed_s / SPRAY_S)
          : 1 - LOOK_PART + LOOK_PART * looked;
    const left_s =
      kind === 'spray-on' ? SPRAY_S - sprayed_s : this.#look === null ? null : LOOK_S - this.#look.elapsed_s;
    return {
      kind: 'sag-test',
      prompt: this.#prompt,
      asks: kind === 'spray-on' ? 'sprayed-enough' : null,
      flow_m3_per_s: this.isOver ? null : this.#plan.heard.flow_m3_per_s(SPAN_S),
      progress: this.isOver ? 1 : progress,
      secondsLeft: left_s === null || this.isOver ? null : Math.max(0, Math.ceil(left_s)),
      found: this.#found === null ? [] : [this.#found],
      warnings: [],
      isOver: this.isOver,
      failed: this.#failed,
    };
  }

  #hear(reading: Reading): void {
    const { heard, sensor_Pa } = this.#plan;
    const { time_s } = reading;
    this.#now_s = time_s;
    this.#asked_s ??= time_s;
    const level_kg = heard.push(reading);
    if (this.#prompt.kind === 'spray-on') {
      if (time_s - this.#asked_s >= SPRAY_S) this.#catchAgain();
      return;
    }
    const rate = heard.over(SPAN_S);
    if (this.#look === null) {
      this.#waitForWater(rate);
      return;
    }
    this.#look.push(time_s, level_kg, sensor_Pa?.(reading) ?? null);
    const left = rate !== null && rate < LEFT_SHARE * this.#look.rate_kg_per_s;
    if (left) this.#leaveLook();
    else if (this.#look.elapsed_s >= LOOK_S) this.#lookIsOver(this.#look);
  }

  #waitForWater(rate: number | null): void {
    const { heard } = this.#plan;
    const before = heard.over(SPAN_S, SPAN_S);
    const waited_s = this.#now_s - (this.#asked_s ?? this.#now_s);
    if (rate !== null && before !== null) {
      const steady = Math.abs(rate - before) < STEADY_SHARE * rate;
      if (rate > RUNS_KG_PER_S && before > RUNS_KG_PER_S && steady)
        this.#look = new SagLook(
          this.#plan.look,
          this.#now_s,
          rate,
          // The same jet in the same hand: what it pushed at first it pushes still.
          this.#first?.jet_kg ?? heard.push_kg(rate),
        );
      else if (waited_s > NO_WATER_AFTER_S) this.#fail(refused('flow-not-heard'));
    } else if (waited_s > NO_WATER_AFTER_S) this.#fail(refused('flow-not-heard'));
  }

  #lookIsOver(look: SagLook): void {
    this.#look = null;
    if (this.#first === null) {
      this.#first = look;
      this.#ask({ kind: 'spray-on' });
    } else this.#finish(this.#first, look);
  }

  #catchAgain(): void {
    this.#ask({ kind: 'catch-again', setting_Pa: this.#plan.setting_Pa });
  }

  #finish(first: SagLook, last: SagLook): void {
    const seen = seenBy(first, last, (rate) => this.#plan.heard.flowOf_m3_per_s(rate));
    const sag = seen.ok ? sagOf(seen.value) : seen;
    if (!sag.ok) {
      this.#fail(sag);
      return;
    }
    const { lost, lostFlow, expandedUncertainty95 } = sag.value;
    // Of the pressure the flow loses half as much, and so does its ±.
    const share = sag.value.by === 'pressure' ? 0.5 / Math.sqrt(1 - lost) : 1;
    this.#found = {
      kind: 'sag-test',
      setting_Pa: this.#plan.setting_Pa,
      flowLostRelative: lostFlow ?? lost,
      relativeStandardUncertainty: (share * expandedUncertainty95) / 2,
      sprayed_s: last.middle_s - first.middle_s,
    };
    this.#say({ kind: 'rig-check-done', leaves: 'open-trigger' });
  }

  #leaveLook(): void {
    this.#look = null;
    if (this.#prompt.kind !== 'spray-on') this.#asked_s = null;
  }

  #ask(prompt: RigCheckPrompt): void {
    this.#asked_s = this.#now_s;
    this.#say(prompt);
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

/** By the sensor where both looks have one; else by what was caught. */
function seenBy(first: SagLook, last: SagLook, flowOf: (rate: number) => number): Outcome<SagSeenBy> {
  const [before, after] = [first.pressure(), last.pressure()];
  if (before !== null && after !== null)
    return ok({
      by: 'pressure',
      first_Pa: before.mean_Pa,
      last_Pa: after.mean_Pa,
      standardUncertainty_Pa: Math.max(before.standardUncertainty_Pa, after.standardUncertainty_Pa),
    });
  const [caught, again] = [first.flow(), last.flow()];
  if (caught === null || again === null) return refused('flow-not-heard');
  const asCatch = ({ rate_kg_per_s, standardUncertainty_kg_per_s: u }: typeof caught) => {
    const flow_m3_per_s = flowOf(rate_kg_per_s);
    return {
      flow_m3_per_s,
      ownStandardUncertainty_m3_per_s: (flow_m3_per_s * u) / rate_kg_per_s,
    };
  };
  return ok({ by: 'flow', first: [asCatch(caught)], last: [asCatch(again)], dial: 'untouched' });
}
