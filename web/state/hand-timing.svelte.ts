import { SHORTEST_TRUSTED_CATCH_S } from '../../src/base/shortest-catch.ts';
import type { HandCatch } from '../contract.ts';
import { HandKeeping } from './hand-keeping.svelte.ts';

export function isShort(thisCatch: Pick<HandCatch, 'duration_s'>): boolean {
  return thisCatch.duration_s < SHORTEST_TRUSTED_CATCH_S;
}

export type HandPhase = 'ready' | 'timing' | 'reading';

/** A stopwatch for one catch at a time: press, press, read the pail. Times come from the event, not from when it was handled. */
export class HandTiming {
  phase = $state<HandPhase>('ready');
  catches = $state.raw<readonly HandCatch[]>([]);
  /** What was struck out last, so that it can come back. */
  removed = $state.raw<{ readonly thisCatch: HandCatch; readonly at: number } | null>(null);
  duration_s = $state<number | null>(null);
  /** The timing that was discarded last, until the next one begins. */
  discarded = $state.raw<{
    readonly phase: HandPhase;
    readonly start_ms: number | null;
    readonly duration_s: number | null;
  } | null>(null);
  readonly keeping = new HandKeeping();
  #start_ms = $state<number | null>(null);

  /** Start or stop. @param at_ms time stamp of the press, same clock as `elapsed_s`. */
  press(at_ms: number): void {
    if (this.phase === 'ready') {
      this.#start_ms = at_ms;
      this.duration_s = null;
      this.discarded = null;
      this.phase = 'timing';
    } else if (this.phase === 'timing' && this.#start_ms !== null) {
      this.duration_s = Math.max(0, at_ms - this.#start_ms) / 1000;
      this.phase = 'reading';
    }
  }

  elapsed_s(now_ms: number): number {
    if (this.phase === 'reading') return this.duration_s ?? 0;
    return this.#start_ms === null || this.phase === 'ready'
      ? 0
      : Math.max(0, now_ms - this.#start_ms) / 1000;
  }

  keep(setting_Pa: number, volume_m3: number, markSpacing_m3: number): void {
    if (this.duration_s === null || this.duration_s <= 0) return;
    const thisCatch: HandCatch = { setting_Pa, duration_s: this.duration_s, volume_m3, markSpacing_m3 };
    this.catches = [...this.catches, thisCatch];
    this.#clear();
  }

  /** Drops the timing in hand; the kept catches stay, and it can be taken back until the next start. */
  discard(): void {
    if (this.phase === 'ready') return;
    this.discarded = { phase: this.phase, start_ms: this.#start_ms, duration_s: this.duration_s };
    this.#clear();
  }

  /** As it was: a clock that was running has run on. */
  undoDiscard(): void {
    if (this.discarded === null || this.phase !== 'ready') return;
    const { phase, start_ms, duration_s } = this.discarded;
    this.discarded = null;
    this.#start_ms = start_ms;
    this.duration_s = duration_s;
    this.phase = phase;
  }

  #clear(): void {
    this.#start_ms = null;
    this.duration_s = null;
    this.phase = 'ready';
  }

  strike(index: number): void {
    const thisCatch = this.catches[index];
    if (thisCatch === undefined) return;
    this.removed = { thisCatch, at: index };
    this.catches = this.catches.filter((_, position) => position !== index);
  }

  undoStrike(): void {
    if (this.removed === null) return;
    this.catches = this.catches.toSpliced(this.removed.at, 0, this.removed.thisCatch);
    this.removed = null;
  }
}
