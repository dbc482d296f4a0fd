/** Longest pour whose readings are kept whole; older ones are let go of. */
const REMEMBERED_S = 240;

/** The readings since shortly before the pour began, as columns that grow: what the turn is recognised from. */
export class PourReadings {
  time_s: number[] = [];
  mass_kg: number[] = [];
  pressure_Pa: number[] = [];

  push(time_s: number, mass_kg: number | null, pressure_Pa: number | null): void {
    if (time_s <= (this.time_s.at(-1) ?? -Infinity)) return;
    this.time_s.push(time_s);
    this.mass_kg.push(mass_kg ?? NaN);
    this.pressure_Pa.push(pressure_Pa ?? NaN);
    if (this.time_s.length % 512 === 0) this.forgetBefore(time_s - REMEMBERED_S);
  }

  forgetBefore(before_s: number): void {
    const first = this.time_s.findIndex((time_s) => time_s >= before_s);
    if (first <= 0) return;
    this.time_s = this.time_s.slice(first);
    this.mass_kg = this.mass_kg.slice(first);
    this.pressure_Pa = this.pressure_Pa.slice(first);
  }

  clear(): void {
    this.time_s = [];
    this.mass_kg = [];
    this.pressure_Pa = [];
  }
}
