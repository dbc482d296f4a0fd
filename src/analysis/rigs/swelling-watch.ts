import { frontTrim_s } from '../flow/steady-window.ts';
import { ordinaryLine } from '../../base/statistics/ordinary-line.ts';
import { steadySince } from './steady-since.ts';
import { unbumped, type Readings } from './unbumped.ts';

export interface Swollen {
  /** What the start of a usual catch would have been, so that its steady window begins where the hose was steady. */
  readonly start_s: number;
  readonly flow_kg_per_s: number;
  readonly readings: Readings;
}

const LOOK_EVERY_s = 1;
/** The beginning of the steady part is looked for in such steps while it runs; afterwards more finely. */
const STEP_s = 3;

/** Watches the catch in hand of a hose reel until its flow is steady (`steadySince`). */
export class SwellingWatch {
  private readonly times_s: number[] = [];
  private readonly masses_kg: number[] = [];
  private looked_s = -Infinity;

  constructor(
    private readonly start_s: number,
    private readonly averagedReadings: number | null,
  ) {}

  push(time_s: number, mass_kg: number): void {
    this.times_s.push(time_s);
    this.masses_kg.push(mass_kg);
  }

  /** Asked as often as liked; null until it is steady. */
  look(now_s: number): Swollen | null {
    const n = this.times_s.length;
    if (now_s - this.looked_s < LOOK_EVERY_s || n < 2) return null;
    this.looked_s = now_s;
    const period_s = (this.times_s[n - 1]! - this.times_s[0]!) / (n - 1);
    const trim_s = frontTrim_s(this.averagedReadings, period_s);
    const readings = unbumped(this.times_s, this.masses_kg, n, this.start_s + trim_s, now_s);
    const steady = steadySince(readings, STEP_s);
    if (steady?.steadyFrom_s == null) return null;
    const from = readings.time_s.findIndex((at_s) => at_s >= steady.from_s);
    const line = ordinaryLine(readings.time_s.subarray(from), readings.mass_kg.subarray(from));
    return line === null || !(line.slope > 0)
      ? null
      : { start_s: steady.from_s - trim_s, flow_kg_per_s: line.slope, readings };
  }
}
