import type { Because } from '../../src/base/because.ts';
import type { BenchStore } from './storage/bench-store.ts';

/** Text is stored when it is this old (by the stream's clock or the wall's, whichever comes first). */
const FLUSH_EVERY_S = 1;

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
  #sequence: number;
  readonly #all: string[];
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
    this.#all = [...earlier];
    this.#sequence = nextSequence;
    this.#onTrouble = onTrouble;
  }

  append(text: string, now_s: number): void {
    this.#pending.push(text);
    this.#pendingSince_s ??= now_s;
    if (now_s - this.#pendingSince_s >= FLUSH_EVERY_S) this.flush();
  }

  /** Hands what is pending to the store; writes are chained, so order holds. */
  flush(): void {
    if (this.#pending.length === 0) return;
    const text = this.#pending.join('');
    this.#pending = [];
    this.#pendingSince_s = null;
    this.#all.push(text);
    const chunk = { sequence: this.#sequence, text };
    this.#sequence += 1;
    this.#writing = this.#writing.then(async () => {
      const kept = await this.#store.addReadings(this.#sweepId, chunk);
      if (!kept.ok) this.#onTrouble(kept.because);
    });
  }

  /** Everything handed over has been written, or has failed and been told. */
  async settled(): Promise<void> {
    this.flush();
    await this.#writing;
  }

  /** The capture's lines so far, header not included. */
  get text(): string {
    return this.#all.join('') + this.#pending.join('');
  }
}
