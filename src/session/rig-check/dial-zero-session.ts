import { PSI_PA } from '../../base/units/constants.ts';
import { ok, refused, type Outcome } from '../../base/outcome.ts';
import type { StreamEvent } from '../../signal/reading.ts';
import type { RigCheckMachine, RigCheckProgress, RigCheckPrompt } from './rig-check-view.ts';
import type { SlopeHeard } from './slope-heard.ts';

/** A needle that shows more than this has pressure behind it, or none of its own. Judgement, no source. */
const ABSURD_PA = 25 * PSI_PA;
/** Nothing comes any more: slower than this for so long, and at least so long after the asking. */
const STILL_KG_PER_S = 1e-3;
const STILL_S = 3;
const LEAST_S = 6;

export interface DialZeroPlan {
  readonly standardUncertainty_Pa: number;
  /** Null: no instrument listens; the person tells. */
  readonly heard: SlopeHeard | null;
}

/** Pump off, trigger open; when nothing comes any more the dial is read. The only check that needs a typed number and nothing else. */
export class DialZeroSession implements RigCheckMachine {
  readonly #plan: DialZeroPlan;
  #prompt: RigCheckPrompt;
  #said: RigCheckPrompt[] = [];
  #began_s: number | null = null;
  #shown_Pa: number | null = null;

  constructor(plan: DialZeroPlan) {
    this.#plan = plan;
    this.#prompt = plan.heard === null ? { kind: 'read-dial', unheard: true } : { kind: 'release-pressure' };
    this.#said.push(this.#prompt);
  }

  get prompt(): RigCheckPrompt {
    return this.#prompt;
  }

  get isOver(): boolean {
    return this.#shown_Pa !== null;
  }

  accept(event: StreamEvent): readonly RigCheckPrompt[] {
    const { heard } = this.#plan;
    if (event.kind === 'reading' && heard !== null && this.#prompt.kind === 'release-pressure') {
      const { time_s } = event.reading;
      heard.push(event.reading);
      this.#began_s ??= time_s;
      const rate = heard.over(STILL_S);
      const isStill = rate !== null && Math.abs(rate) < STILL_KG_PER_S;
      if (isStill && time_s - this.#began_s >= LEAST_S) this.#say({ kind: 'read-dial' });
    }
    return this.#take();
  }

  answer(value_Pa: number | null): Outcome<readonly RigCheckPrompt[]> {
    if (this.isOver || value_Pa === null) return refused('no-answer-asked');
    if (!(Math.abs(value_Pa) <= ABSURD_PA))
      return refused('dial-reading-absurd', { shown_Pa: value_Pa, limit_Pa: ABSURD_PA });
    this.#shown_Pa = value_Pa;
    this.#say({ kind: 'rig-check-done', leaves: 'pump-off' });
    return ok(this.#take());
  }

  view(): RigCheckProgress {
    const { standardUncertainty_Pa, heard } = this.#plan;
    return {
      kind: 'dial-at-zero',
      prompt: this.#prompt,
      // Who sees that the pressure is gone need not wait until it is heard.
      asks: this.isOver ? null : 'dial',
      flow_m3_per_s: this.#prompt.kind === 'release-pressure' ? (heard?.flow_m3_per_s(2) ?? null) : null,
      progress: this.isOver ? 1 : this.#prompt.kind === 'read-dial' ? 0.6 : 0,
      secondsLeft: null,
      found:
        this.#shown_Pa === null
          ? []
          : [{ kind: 'dial-at-zero', shown_Pa: this.#shown_Pa, standardUncertainty_Pa }],
      warnings: [],
      isOver: this.isOver,
      failed: null,
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
