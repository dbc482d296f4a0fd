/** Keeps the screen on while a sweep runs. The browser lets go whenever the page is hidden, so it is asked again. */
interface Watched {
  readonly visibilityState: DocumentVisibilityState;
  addEventListener(type: 'visibilitychange', listener: () => void): void;
}

export class StayAwake {
  readonly #navigator: Navigator;
  readonly #document: Watched;
  #wanted = false;
  #lock: WakeLockSentinel | null = null;

  constructor(navigator: Navigator, document: Watched) {
    this.#navigator = navigator;
    this.#document = document;
    document.addEventListener('visibilitychange', () => void this.#settle());
  }

  want(wanted: boolean): void {
    this.#wanted = wanted;
    void this.#settle();
  }

  async #settle(): Promise<void> {
    try {
      if (!this.#wanted) {
        await this.#lock?.release();
        this.#lock = null;
      } else if (this.#document.visibilityState === 'visible' && (this.#lock?.released ?? true)) {
        this.#lock = 'wakeLock' in this.#navigator ? await this.#navigator.wakeLock.request('screen') : null;
      }
    } catch {
      // Battery saver or policy forbids it: the sweep is kept all the same, the screen may go dark.
      this.#lock = null;
    }
  }
}
