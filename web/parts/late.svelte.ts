/**
 * A part of the page that is fetched after the start. Once it is there it is drawn at once, without a moment of waiting in between;
 * `main.ts` fetches them all as soon as the page has nothing else to do, so that a server that is stopped later is not missed.
 */
export class Late<Part> {
  part = $state.raw<Part | null>(null);
  failed = $state(false);
  readonly #fetch: () => Promise<{ readonly default: Part }>;

  constructor(fetch: () => Promise<{ readonly default: Part }>) {
    this.#fetch = fetch;
  }

  async load(): Promise<void> {
    if (this.part !== null) return;
    try {
      this.part = (await this.#fetch()).default;
      this.failed = false;
    } catch {
      this.failed = true;
    }
  }
}
