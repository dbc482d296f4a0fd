import type { Because } from '../../src/base/because.ts';
import { Ring } from '../../src/signal/streams/ring.ts';
import type { BenchStore } from './storage/bench-store.ts';

/** Text is stored when it is this old (by the stream's clock or the wall's, whichever comes first). */
const FLUSH_EVERY_S = 1;
/** Pieces held in memory besides: two hours of one a second. The store has them all; memory must not grow for ever. */
const HELD_PIECES = 7200;

/**
 * The running sweep's capture: every line goes to the store about a second after it came, and stays in memory too, so that
 * an export is possible even when the disk is full.
 */
export class CaptureKeeper {
  readonly #store: BenchStore;
  readonly #sweepId: string;
  readonly #onTrouble: (because: Because) => void;
  #pending: string[] = [];
  #pendingSince_s: number | null = null;
  #timer: ReturnType<typeof setTimeout> | null = null;
  #sequence: number;
  readonly #held = new Ring<string>(HELD_PIECES);
  #stored = true;
  #writing: Promise<void> = Promise.resolve();

  constructor(
    store: BenchStore,
    sweepId: string,
    earlier: readonly string[],
    nextSequence: number,
    onTrouble: (because: Because) => void,
  ) {
    this.#store = store;
    this.#sweepId = sweepId;
    for (const text of earlier) this.#held.push(text);
    this.#sequence = nextSequence;
    this.#onTrouble = onTrouble;
  }

  append(text: string, now_s: number): void {
    this.#pending.push(text);
    this.#pendingSince_s ??= now_s;
    // An instrument that falls silent moves no stream clock.
    this.#timer ??= setTimeout(() => this.flush(), FLUSH_EVERY_S * 1000);
    if (now_s - this.#pendingSince_s >= FLUSH_EVERY_S) this.flush();
  }

  /** Hands what is pending to the store; writes are chained, so order holds. */
  flush(): void {
    if (this.#timer !== null) clearTimeout(this.#timer);
    this.#timer = null;
    if (this.#pending.length === 0) return;
    const text = this.#pending.join('');
    this.#pending = [];
    this.#pendingSince_s = null;
    this.#held.push(text);
    const chunk = { sequence: this.#sequence, text };
    this.#sequence += 1;
    this.#writing = this.#writing.then(async () => {
      const kept = await this.#store.addReadings(this.#sweepId, chunk);
      if (kept.ok) return;
      this.#stored = false;
      this.#onTrouble(kept.because);
    });
  }

  /** Everything handed over has been written, or has failed and been told. */
  async settled(): Promise<void> {
    this.flush();
    await this.#writing;
  }

  /**
   * The capture's lines so far, header not included: from the store, or from memory when the store failed. What memory had to
   * let go of is said by a gap where the text begins.
   */
  async text(): Promise<string> {
    await this.settled();
    if (this.#stored) {
      const kept = await this.#store.captureText(this.#sweepId);
      if (kept.ok) return kept.value.join('');
    }
    const text = this.#held.toArray().join('');
    if (this.#held.overflowed === 0) return text;
    return `${text.slice(0, Math.max(0, text.indexOf('\t')))}\t!gap buffer-overflow\n${text}`;
  }
}
