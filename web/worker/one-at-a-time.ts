/** Tasks that must not overlap: each begins when the one before has ended, well or badly. A task must not wait for a turn of its own. */
export class OneAtATime {
  #last: Promise<unknown> = Promise.resolve();

  run<T>(task: () => Promise<T>): Promise<T> {
    const turn = this.#last.then(task);
    // Whoever asked hears of the failure; the next in line doesn't.
    this.#last = turn.catch(() => undefined);
    return turn;
  }
}
