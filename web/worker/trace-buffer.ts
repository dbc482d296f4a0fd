import type { TraceBatch } from '../contract.ts';

/** Columns for the live trace, gathered between two messages to the page. */
export class TraceBuffer {
  #time_s: number[] = [];
  #mass_kg: number[] = [];
  #restart = true;

  add(time_s: number, mass_kg: number | null): void {
    this.#time_s.push(time_s);
    this.#mass_kg.push(mass_kg ?? NaN);
  }

  restart(): void {
    this.#time_s = [];
    this.#mass_kg = [];
    this.#restart = true;
  }

  /** What came since the last call, or null if nothing did. */
  take(): TraceBatch | null {
    if (this.#time_s.length === 0 && !this.#restart) return null;
    const batch = {
      restart: this.#restart,
      time_s: Float64Array.from(this.#time_s),
      mass_kg: Float64Array.from(this.#mass_kg),
    };
    this.#time_s = [];
    this.#mass_kg = [];
    this.#restart = false;
    return batch;
  }
}
