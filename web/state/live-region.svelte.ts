const NUMBER_EVERY_MS = 10_000;

/** What a screen reader is told: every change of state, and the number at most every ten seconds. */
export class LiveRegion {
  text = $state('');
  readonly #now_ms: () => number;
  #lastTold_ms = Number.NEGATIVE_INFINITY;

  constructor(now_ms: () => number) {
    this.#now_ms = now_ms;
  }

  tell(text: string): void {
    this.text = text;
    this.#lastTold_ms = this.#now_ms();
  }

  /** What was said belongs to the screen it was said on. */
  clear(): void {
    this.text = '';
  }

  /** Told only when nothing was said for ten seconds. */
  number(text: string): void {
    if (this.#now_ms() - this.#lastTold_ms >= NUMBER_EVERY_MS) this.tell(text);
  }
}
