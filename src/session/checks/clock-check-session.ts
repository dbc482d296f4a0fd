import { checkClock, CLOCK_WATCH_S, type ClockCheckResult } from '../../analysis/checks/clock-check.ts';
import type { Refusal } from '../../base/outcome.ts';
import type { StreamEvent } from '../../signal/reading.ts';
import type { CheckProgress, CheckPrompt } from './check-view.ts';

/** A minute of the device's clock against ours, while nothing is asked of anybody. A restart or a lost device begins the minute anew. */
export class ClockCheckSession {
  #device_s: (number | null)[] = [];
  #arrival_s: number[] = [];
  #result: ClockCheckResult | null = null;
  #failed: Refusal | null = null;
  #said: CheckPrompt[] = [{ kind: 'leave-alone' }];
  #prompt: CheckPrompt = { kind: 'leave-alone' };

  get isOver(): boolean {
    return this.#result !== null || this.#failed !== null;
  }

  get prompt(): CheckPrompt {
    return this.#prompt;
  }

  accept(event: StreamEvent): readonly CheckPrompt[] {
    // A line lost on the way takes no time from either clock.
    if (!this.isOver && event.kind === 'gap' && event.because !== 'lines-lost') {
      this.#device_s = [];
      this.#arrival_s = [];
    }
    if (!this.isOver && event.kind === 'reading') {
      this.#device_s.push(event.reading.device_s);
      this.#arrival_s.push(event.reading.arrival_s);
      if (event.reading.device_s === null || this.#watched_s >= CLOCK_WATCH_S) this.#finish();
    }
    const said = this.#said;
    this.#said = [];
    return said;
  }

  view(): CheckProgress {
    const result = this.#result;
    return {
      kind: 'clock',
      prompt: this.#prompt,
      shown: null,
      progress: Math.min(1, this.#watched_s / CLOCK_WATCH_S),
      secondsLeft: this.isOver ? null : Math.max(0, Math.ceil(CLOCK_WATCH_S - this.#watched_s)),
      trouble: null,
      result: result === null ? null : { kind: 'clock', ...result },
      failed: this.#failed,
    };
  }

  get #watched_s(): number {
    return (this.#arrival_s.at(-1) ?? 0) - (this.#arrival_s[0] ?? 0);
  }

  #finish(): void {
    const found = checkClock(this.#device_s, this.#arrival_s);
    if (found.ok) this.#result = found.value;
    else this.#failed = found;
    this.#prompt = found.ok ? { kind: 'check-done' } : { kind: 'check-failed', because: found.because };
    this.#said.push(this.#prompt);
  }
}
