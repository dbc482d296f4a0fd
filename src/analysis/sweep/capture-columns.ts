import type { Reading } from '../../signal/reading.ts';
import type { GapReason } from '../../base/because.ts';

/** Something between two readings that the detector must hear of before reading `before`. */
export type Break =
  | { readonly kind: 'gap'; readonly before: number; readonly at_s: number; readonly because: GapReason }
  | { readonly kind: 'tared'; readonly before: number; readonly at_s: number };

const names = [
  'arrival_s',
  'time_s',
  'device_s',
  'mass_kg',
  'pulses',
  'edgeAge_s',
  'supplyFraction',
] as const;
type Name = (typeof names)[number];

/**
 * The readings of a capture as columns that grow by doubling: 56 bytes a reading, no object kept. NaN where a reading has no such
 * number. `edgeAge_s` is `time_s` − `edge_s`, so that edges move along when the clock is mapped better.
 */
export class CaptureColumns {
  count = 0;
  readonly breaks: Break[] = [];
  /** Index of the first reading after each restart of the device's clock; begins with 0. */
  readonly clockStarts: number[] = [0];
  /** Largest common step of the shown masses, kg; null if the readings have no last digit (a board) or changed it. */
  step_kg: number | null = null;
  massShown = 0;

  private columns = Object.fromEntries(names.map((name) => [name, new Float64Array(4096)])) as Record<
    Name,
    Float64Array
  >;
  private lastNet: boolean | null = null;
  private lastDevice_s = -Infinity;
  private lineStep_kg: number | null = null;
  private stepsInCommon = 0;
  private firstSteps: number | null = null;

  push(reading: Reading): void {
    if (this.count === this.columns.time_s.length) this.grow();
    const i = this.count;
    if (reading.net !== null) {
      if (this.lastNet !== null && reading.net !== this.lastNet) {
        this.breaks.push({ kind: 'tared', before: i, at_s: reading.time_s });
      }
      this.lastNet = reading.net;
    }
    if (reading.device_s !== null) {
      if (reading.device_s < this.lastDevice_s) this.clockStarts.push(i);
      this.lastDevice_s = reading.device_s;
    }
    if (reading.mass_kg !== null) {
      this.massShown++;
      this.noteStep(reading.mass_kg, reading.step_kg);
    }
    const c = this.columns;
    c.arrival_s[i] = reading.arrival_s;
    c.time_s[i] = reading.time_s;
    c.device_s[i] = reading.device_s ?? NaN;
    c.mass_kg[i] = reading.mass_kg ?? NaN;
    c.pulses[i] = reading.pulses ?? NaN;
    c.edgeAge_s[i] = reading.edge_s === null ? NaN : reading.time_s - reading.edge_s;
    c.supplyFraction[i] = reading.supplyFraction ?? NaN;
    this.count++;
  }

  gap(at_s: number, because: GapReason): void {
    this.breaks.push({ kind: 'gap', before: this.count, at_s, because });
  }

  /** The filled part of a column: a view, not a copy. */
  column(name: Name): Float64Array {
    return this.columns[name].subarray(0, this.count);
  }

  /** A display may count in fives: the step is what all shown masses have in common, not the last digit. */
  private noteStep(mass_kg: number, step_kg: number | null): void {
    if (step_kg === null || !(step_kg > 0)) return;
    if (this.lineStep_kg !== step_kg) {
      this.lineStep_kg = step_kg;
      this.stepsInCommon = 0;
      this.firstSteps = null;
    }
    const steps = Math.round(mass_kg / step_kg);
    this.firstSteps ??= steps;
    if (this.stepsInCommon !== 1)
      this.stepsInCommon = commonDivisor(this.stepsInCommon, Math.abs(steps - this.firstSteps));
    this.step_kg = step_kg * Math.max(1, this.stepsInCommon);
  }

  private grow(): void {
    for (const name of names) {
      const larger = new Float64Array(this.columns[name].length * 2);
      larger.set(this.columns[name]);
      this.columns[name] = larger;
    }
  }
}

function commonDivisor(a: number, b: number): number {
  while (b > 0) [a, b] = [b, a % b];
  return a;
}
