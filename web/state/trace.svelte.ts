import type { TraceBatch } from '../contract.ts';

/**
 * The columns of the live trace, bounded in time. The arrays grow in place (long series are not copied per batch);
 * `version` changes with every batch, so that a chart knows when to draw.
 */
export class Trace {
  version = $state(0);
  time_s: number[] = [];
  mass_kg: number[] = [];
  readonly window_s: number;

  /** @param window_s how much is kept behind the newest reading; Infinity for a whole recording. */
  constructor(window_s: number) {
    this.window_s = window_s;
  }

  get newest_s(): number | null {
    return this.time_s.at(-1) ?? null;
  }

  /** A whole recording at once, before anyone looks: no change is told. */
  fill(batch: TraceBatch): void {
    this.#take(batch);
  }

  add(batch: TraceBatch): void {
    this.#take(batch);
    this.#forget();
    this.version += 1;
  }

  #take(batch: TraceBatch): void {
    if (batch.restart) {
      this.time_s = [];
      this.mass_kg = [];
    }
    const length = Math.min(batch.time_s.length, batch.mass_kg.length);
    for (let index = 0; index < length; index += 1) {
      const time = batch.time_s[index]!;
      // The chart needs ascending times; a reading that comes late in order is left out of the picture, not of the record.
      if (this.time_s.length > 0 && time <= this.time_s.at(-1)!) continue;
      this.time_s.push(time);
      this.mass_kg.push(batch.mass_kg[index]!);
    }
  }

  #forget(): void {
    const newest = this.newest_s;
    if (newest === null) return;
    const first = this.time_s.findIndex((time) => time >= newest - this.window_s);
    if (first <= 0) return;
    this.time_s.splice(0, first);
    this.mass_kg.splice(0, first);
  }
}
