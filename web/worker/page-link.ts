import type { Announcement } from '../../src/session/prompt.ts';
import type { BenchSink, BenchView } from '../contract.ts';
import type { TraceBuffer } from './trace-buffer.ts';

/** Messages to the page: at most ten a second, whatever the instrument's pace. */
const SEND_EVERY_MS = 100;

/** The worker's only voice to the page. Nothing is awaited: a page that hangs must not hold up a reading. */
export class PageLink {
  #sink: BenchSink | null = null;
  #waiting = false;
  readonly #view: () => BenchView;
  readonly #trace: TraceBuffer;

  constructor(view: () => BenchView, trace: TraceBuffer) {
    this.#view = view;
    this.#trace = trace;
  }

  connect(sink: BenchSink): void {
    this.#sink = sink;
    this.changed();
  }

  /** Something to show has changed; it is sent with the next batch. */
  changed(): void {
    if (this.#sink === null) return;
    if (this.#waiting) return;
    this.#waiting = true;
    setTimeout(() => {
      this.#waiting = false;
      this.#send();
    }, SEND_EVERY_MS);
  }

  announce(announcement: Announcement, at_s: number): void {
    this.#quietly(() => this.#sink?.announce(announcement, at_s));
  }

  #send(): void {
    const batch = this.#trace.take();
    if (batch !== null) this.#quietly(() => this.#sink?.trace(batch));
    this.#quietly(() => this.#sink?.view(this.#view()));
  }

  /** Through Comlink the sink's methods answer with promises, whatever the type says; a closed page rejects them. */
  #quietly(call: () => unknown): void {
    void Promise.resolve(call()).catch(() => undefined);
  }
}
