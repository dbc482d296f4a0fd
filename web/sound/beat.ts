/**
 * The beat that a hand pump is worked to: short, dry clicks on the audio clock. There is no timer: whoever shows the sweep asks to keep it
 * up with every view, and so much is scheduled ahead that a slow view makes no hole.
 */
import { schedule, type ToneContext } from './tones.ts';

const AHEAD_S = 1.2;
const CLICK_HZ = 1400;
const CLICK_S = 0.045;
const LOUDNESS = 0.25;

export class Beat {
  readonly #context: () => ToneContext | null;
  #period_s: number | null = null;
  #next_s = 0;

  constructor(context: () => ToneContext | null) {
    this.#context = context;
  }

  /** @param period_s time between two strokes; null: silence (a click that is scheduled already still sounds). */
  keep(period_s: number | null): void {
    const context = this.#context();
    if (period_s === null || !(period_s > 0) || context === null) {
      this.#period_s = null;
      return;
    }
    const now_s = context.currentTime;
    // A beat that was late (a page that slept) goes on from now, not with all its clicks at once.
    if (this.#period_s !== period_s || this.#next_s < now_s)
      this.#next_s = Math.max(this.#next_s, now_s + 0.05);
    this.#period_s = period_s;
    for (; this.#next_s < now_s + AHEAD_S; this.#next_s += period_s)
      schedule(context, CLICK_HZ, this.#next_s, CLICK_S, LOUDNESS);
  }
}
