import { firstAtOrAfter } from './steady-window.ts';

/** Faster streams are averaged in blocks of about this length: the slope's noise is slow, so nothing is lost. */
const BLOCK_s = 0.1;
const FASTEST_UNBLOCKED_s = 1 / 12;

/** Readings of one catch as they come, averaged to about 10 a second if they are faster than 12. Flat: 60 s are 600 blocks. */
export class BlockedReadings {
  private time_s = new Float64Array(1024);
  private mass_kg = new Float64Array(1024);
  private blocks = 0;
  private sumTime = 0;
  private sumMass = 0;
  private inBlock = 0;
  private perBlock = 0;
  private first_s = NaN;
  private last_s = NaN;
  private seen = 0;
  private readonly early: [number, number][] = [];

  push(time_s: number, mass_kg: number): void {
    if (this.seen === 0) this.first_s = time_s;
    this.last_s = time_s;
    this.seen++;
    if (this.perBlock > 0) {
      this.add(time_s, mass_kg);
      return;
    }
    // The rate is not known before some readings are there.
    this.early.push([time_s, mass_kg]);
    if (time_s - this.first_s < 1) return;
    this.perBlock =
      this.period_s < FASTEST_UNBLOCKED_s ? Math.max(1, Math.round(BLOCK_s / this.period_s)) : 1;
    for (const [early_s, early_kg] of this.early) this.add(early_s, early_kg);
    this.early.length = 0;
  }

  /** Mean time between readings as they came, s; 0 before two have come. */
  get period_s(): number {
    return this.seen > 1 ? (this.last_s - this.first_s) / (this.seen - 1) : 0;
  }

  get readingsPerBlock(): number {
    return Math.max(1, this.perBlock);
  }

  since(from_s: number): { readonly time_s: Float64Array; readonly mass_kg: Float64Array } {
    const first = firstAtOrAfter(this.time_s, this.blocks, from_s);
    return {
      time_s: this.time_s.subarray(first, this.blocks),
      mass_kg: this.mass_kg.subarray(first, this.blocks),
    };
  }

  private add(time_s: number, mass_kg: number): void {
    this.sumTime += time_s - this.first_s;
    this.sumMass += mass_kg;
    this.inBlock++;
    if (this.inBlock < this.perBlock) return;
    if (this.blocks === this.time_s.length) {
      this.time_s = grown(this.time_s);
      this.mass_kg = grown(this.mass_kg);
    }
    this.time_s[this.blocks] = this.first_s + this.sumTime / this.inBlock;
    this.mass_kg[this.blocks] = this.sumMass / this.inBlock;
    this.blocks++;
    this.sumTime = 0;
    this.sumMass = 0;
    this.inBlock = 0;
  }
}

function grown(column: Float64Array): Float64Array<ArrayBuffer> {
  const larger = new Float64Array(column.length * 2);
  larger.set(column);
  return larger;
}
