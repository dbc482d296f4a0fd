import type { RigCheckFound } from '../../analysis/diagnosis/evidence.ts';
import { ok, refused, type Outcome } from '../../base/outcome.ts';
import { PSI_PA } from '../../base/units/constants.ts';
import type { StreamEvent } from '../../signal/reading.ts';
import type { RigCheckMachine, RigCheckProgress, RigCheckPrompt } from './rig-check-view.ts';
import type { SlopeHeard } from './slope-heard.ts';

/** A wand may read above the dial where that reads low; beyond this it is another unit. Judgement, no source. */
const MOST_OVER_PA = 15 * PSI_PA;
const MOST_RATIO = 1.5;

export interface WandGaugePlan {
  readonly settings_Pa: readonly number[];
  readonly standardUncertainty_Pa: number;
  /** Null: no instrument listens. */
  readonly heard: SlopeHeard | null;
}

/** A gauge is put on without pressure; then, water running, its number for one to three settings of the dial. */
export class WandGaugeSession implements RigCheckMachine {
  readonly #plan: WandGaugePlan;
  readonly #found: RigCheckFound[] = [];
  #prompt: RigCheckPrompt;
  #said: RigCheckPrompt[] = [];
  #flow_m3_per_s: number | null = null;

  constructor(plan: WandGaugePlan) {
    this.#plan = plan;
    this.#prompt = { kind: 'fit-gauge', highest_Pa: Math.max(...plan.settings_Pa) };
    this.#said.push(this.#prompt);
  }

  get prompt(): RigCheckPrompt {
    return this.#prompt;
  }

  get isOver(): boolean {
    return this.#found.length === this.#plan.settings_Pa.length;
  }

  accept(event: StreamEvent): readonly RigCheckPrompt[] {
    const { heard } = this.#plan;
    if (event.kind === 'reading' && heard !== null) {
      heard.push(event.reading);
      this.#flow_m3_per_s = heard.flow_m3_per_s(3);
    }
    return this.#take();
  }

  /** A number of the gauge; before the first one the large button: the gauge is on. */
  answer(value_Pa: number | null): Outcome<readonly RigCheckPrompt[]> {
    if (this.#prompt.kind === 'fit-gauge') {
      if (value_Pa !== null) return refused('no-answer-asked');
      this.#say(this.#ask(0));
      return ok(this.#take());
    }
    const setting_Pa = this.#plan.settings_Pa[this.#found.length];
    if (setting_Pa === undefined || value_Pa === null) return refused('no-answer-asked');
    const limit_Pa = Math.max(MOST_RATIO * setting_Pa, setting_Pa + MOST_OVER_PA);
    if (!(value_Pa >= 0 && value_Pa <= limit_Pa))
      return refused('wand-reading-absurd', { shown_Pa: value_Pa, limit_Pa });
    const { standardUncertainty_Pa } = this.#plan;
    this.#found.push({ kind: 'wand-gauge', setting_Pa, wand_Pa: value_Pa, standardUncertainty_Pa });
    this.#say(this.isOver ? { kind: 'rig-check-done', leaves: 'gauge' } : this.#ask(this.#found.length));
    return ok(this.#take());
  }

  view(): RigCheckProgress {
    return {
      kind: 'wand-gauge',
      prompt: this.#prompt,
      asks: this.isOver ? null : this.#prompt.kind === 'fit-gauge' ? 'gauge-is-on' : 'wand',
      flow_m3_per_s: this.isOver ? null : this.#flow_m3_per_s,
      progress: this.#found.length / this.#plan.settings_Pa.length,
      secondsLeft: null,
      found: [...this.#found],
      warnings: [],
      isOver: this.isOver,
      failed: null,
    };
  }

  #ask(index: number): RigCheckPrompt {
    const { settings_Pa } = this.#plan;
    return {
      kind: 'spray-and-read',
      setting_Pa: settings_Pa[index]!,
      nth: index + 1,
      of: settings_Pa.length,
    };
  }

  #say(prompt: RigCheckPrompt): void {
    this.#prompt = prompt;
    this.#said.push(prompt);
  }

  #take(): readonly RigCheckPrompt[] {
    const said = this.#said;
    this.#said = [];
    return said;
  }
}
