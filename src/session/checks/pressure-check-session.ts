import {
  checkPressure,
  type PressureCheckResult,
  type ShownPressure,
} from '../../analysis/checks/pressure-check.ts';
import { refused, type Outcome, type Refusal } from '../../base/outcome.ts';
import type { StreamEvent } from '../../signal/reading.ts';
import type { CheckProgress, CheckPrompt } from './check-view.ts';
import { Resting } from './resting.ts';

export interface PressureCheckPlan {
  readonly known_Pa: number;
  readonly knownStandardUncertainty_Pa: number;
  readonly fullScale_Pa: number;
}

const WATCHED_S = 8;
const AT_REST_S = 2;
/** Of full scale: a pump's beat is in it, so it is wide; the mean of eight seconds is what counts. Judgement, no source. */
const AT_REST = 0.01;
/** A sensor that shows this long something steady that is no zero has none. */
const PATIENCE_S = 60;

/** What was typed, judged before the pump is switched on. */
export function checkPressurePlan(plan: PressureCheckPlan): Outcome<true> {
  const ideal = { mean_Pa: 0, standardUncertainty_Pa: 0 };
  const found = checkPressure({
    ...plan,
    openToAir: ideal,
    atKnown: { mean_Pa: plan.known_Pa, standardUncertainty_Pa: 0 },
  });
  return found.ok ? { ok: true, value: true } : found;
}

/** Open to the air, then one known pressure held: both recognised by themselves. */
export class PressureCheckSession {
  readonly #plan: PressureCheckPlan;
  readonly #resting = new Resting();
  #prompt: CheckPrompt = { kind: 'open-to-air' };
  #said: CheckPrompt[] = [this.#prompt];
  #zero: ShownPressure | null = null;
  #restsSince_s: number | null = null;
  #began_s: number | null = null;
  #now_s = 0;
  #result: PressureCheckResult | null = null;
  #failed: Refusal | null = null;

  constructor(plan: PressureCheckPlan) {
    this.#plan = plan;
  }

  get isOver(): boolean {
    return this.#result !== null || this.#failed !== null;
  }

  get prompt(): CheckPrompt {
    return this.#prompt;
  }

  accept(event: StreamEvent): readonly CheckPrompt[] {
    if (!this.isOver && event.kind === 'gap' && event.because !== 'lines-lost') this.#restart();
    if (!this.isOver && event.kind === 'reading' && event.reading.supplyFraction !== null) {
      this.#take(
        event.reading.time_s,
        ((event.reading.supplyFraction - 0.1) / 0.8) * this.#plan.fullScale_Pa,
      );
    }
    const said = this.#said;
    this.#said = [];
    return said;
  }

  view(): CheckProgress {
    const waited_s = this.#restsSince_s === null ? 0 : this.#now_s - this.#restsSince_s;
    const result = this.#result;
    return {
      kind: 'pressure',
      prompt: this.#prompt,
      shown: this.#resting.meanOver(1),
      progress: Math.min(1, waited_s / WATCHED_S),
      secondsLeft: this.#restsSince_s === null ? null : Math.max(0, Math.ceil(WATCHED_S - waited_s)),
      trouble: null,
      result: result === null ? null : { kind: 'pressure', known_Pa: this.#plan.known_Pa, ...result },
      failed: this.#failed,
    };
  }

  #restart(): void {
    this.#resting.clear();
    this.#restsSince_s = null;
  }

  #take(time_s: number, shown_Pa: number): void {
    const { fullScale_Pa, known_Pa } = this.#plan;
    this.#now_s = time_s;
    this.#began_s ??= time_s;
    this.#resting.push(time_s, shown_Pa);
    const moved = this.#resting.movedOver(AT_REST_S);
    const level = this.#resting.meanOver(AT_REST_S);
    if (moved === null || level === null) return;
    const atRest = moved.shift < AT_REST * fullScale_Pa;
    const wanted =
      this.#zero === null
        ? Math.abs(level) < 0.05 * fullScale_Pa
        : level - this.#zero.mean_Pa > 0.5 * known_Pa;
    if (this.#zero === null && !wanted && time_s - this.#began_s > PATIENCE_S) {
      this.#end(refused('pressure-zero-off', { zero_Pa: level, limit_Pa: 0.05 * fullScale_Pa }));
      return;
    }
    if (!atRest || !wanted) this.#restsSince_s = null;
    else this.#restsSince_s ??= time_s;
    if (this.#restsSince_s === null || time_s - this.#restsSince_s < WATCHED_S) return;
    this.#restsSince_s = null;
    const seen = this.#seen();
    if (this.#zero === null) {
      this.#zero = seen;
      this.#say({ kind: 'bring-to-pressure', known_Pa });
      return;
    }
    this.#end(checkPressure({ ...this.#plan, openToAir: this.#zero, atKnown: seen }));
  }

  /** Mean of the last seconds; what it is worth from four stretches of two seconds, which hold the pump's beat and its wander. */
  #seen(): ShownPressure {
    const mean_Pa = this.#resting.meanOver(WATCHED_S) ?? 0;
    const { time_s, value } = this.#resting;
    const means = [0, 1, 2, 3].map((i) => {
      const stretch = value.filter((_, j) => Math.floor((this.#now_s - time_s[j]!) / 2) === i);
      return stretch.reduce((sum, x) => sum + x, 0) / Math.max(1, stretch.length);
    });
    const squares = means.reduce((sum, x) => sum + (x - mean_Pa) ** 2, 0);
    return { mean_Pa, standardUncertainty_Pa: Math.sqrt(squares / 3 / 4) };
  }

  #end(found: Outcome<PressureCheckResult>): void {
    if (found.ok) this.#result = found.value;
    else this.#failed = found;
    this.#say(found.ok ? { kind: 'check-done' } : { kind: 'check-failed', because: found.because });
  }

  #say(prompt: CheckPrompt): void {
    this.#prompt = prompt;
    this.#said.push(prompt);
  }
}
