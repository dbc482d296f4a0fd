import type { HandCatch, KeptByHand, SweepSetup } from '../contract.ts';

/** Writes one state of the sweep; null when it could not be written. */
export type WriteHand = (
  setup: SweepSetup,
  catches: readonly HandCatch[],
  earlier: KeptByHand | null,
) => Promise<KeptByHand | null>;

/**
 * Keeps a hand-timed sweep from its first catch on: every change corrects the record before it. Writes go one after the other,
 * since each needs the answer of the last; of changes that come meanwhile only the newest is written.
 */
export class HandKeeping {
  state = $state<'nothing' | 'keeping' | 'kept' | 'not-kept'>('nothing');
  #earlier: KeptByHand | null = null;
  #next: { readonly setup: SweepSetup; readonly catches: readonly HandCatch[] } | null = null;
  #writing: Promise<void> | null = null;

  /** Resolves when this state, or a newer one, was written or could not be. */
  keep(setup: SweepSetup, catches: readonly HandCatch[], write: WriteHand): Promise<void> {
    // A sweep that never had a catch leaves no record.
    if (catches.length === 0 && this.#earlier === null && this.#writing === null) return Promise.resolve();
    this.#next = { setup, catches };
    this.state = 'keeping';
    this.#writing ??= this.#writeAll(write);
    return this.#writing;
  }

  async #writeAll(write: WriteHand): Promise<void> {
    let kept: KeptByHand | null = null;
    while (this.#next !== null) {
      const { setup, catches } = this.#next;
      this.#next = null;
      kept = await write(setup, catches, this.#earlier);
      this.#earlier = kept ?? this.#earlier;
    }
    this.#writing = null;
    this.state = kept === null ? 'not-kept' : 'kept';
  }
}
