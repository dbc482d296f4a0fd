import { createBlockAverager, type Block } from './block-average.ts';
import { createHistory, type History } from './history.ts';
import { createIdleNoise } from './idle-noise.ts';
import { limits } from './limits.ts';
import { theilSenSlope } from './slope.ts';
import { createStepFinder } from './step-finder.ts';

/** What every state of the detector looks at: blocks, their causal slope, the display's step and the start threshold. */
export class Watch {
  readonly history: History = createHistory();
  slope_kg_per_s = 0;
  /** False while there are too few readings for a slope; it is given as 0 then. */
  slopeKnown = false;
  /** Readings before this time belong to another life of the pail (lift, tare, gap) and are not looked at. */
  cleanFrom_s = -Infinity;
  /** How many times longer than usual the slope looks back: 1, in a wind 2 or 4. */
  patience = 1;
  private averager = createBlockAverager();
  private readonly idle = createIdleNoise();
  private readonly finder = createStepFinder();

  constructor(private readonly givenStep_kg: number) {}

  get step_kg(): number {
    return Math.max(this.givenStep_kg, this.finder.step_kg);
  }

  get period_s(): number {
    return this.averager.period_s ?? 0.1;
  }

  get readingPeriod_s(): number {
    return this.averager.readingPeriod_s ?? 0.1;
  }

  get window_s(): number {
    const coarse_s = limits.windowPerStep_s_per_kg * Math.max(0, this.step_kg - 0.001);
    return (
      this.patience *
      Math.max(
        Math.min(limits.windowMost_s, limits.window_s + coarse_s),
        (limits.windowLeastReadings - 0.5) * this.period_s,
      )
    );
  }

  get threshold_kg_per_s(): number {
    return Math.max(limits.leastFlow_kg_per_s, limits.idleSds * this.idle.slopeSd_kg_per_s);
  }

  get flat_kg_per_s(): number {
    return Math.max(limits.flatSlope_kg_per_s, 2 * this.idle.slopeSd_kg_per_s);
  }

  /** Smallest change of level that is more than flicker, kg. */
  levelTolerance_kg(steps: number, least_kg: number): number {
    return Math.max(steps * this.step_kg, least_kg);
  }

  /** One reading; a block with its slope renewed when one is full. */
  push(time_s: number, mass_kg: number): Block | null {
    this.finder.push(mass_kg);
    const block = this.averager.push(time_s, mass_kg);
    if (block === null) return null;
    this.history.add(block);
    const { times_s, masses_kg } = this.history;
    const from_s = Math.max(block.time_s - this.window_s + 1e-6, this.cleanFrom_s);
    const from = this.history.indexAt(from_s);
    const enough = times_s.length - from >= limits.windowLeastReadings - 1;
    const slope = enough ? theilSenSlope(times_s, masses_kg, from, times_s.length) : null;
    this.slopeKnown = slope !== null;
    this.slope_kg_per_s = slope ?? 0;
    return block;
  }

  /** One idle slope. In a wind the slope is taken over two, then four times as long: slower to hear, but it hears. */
  noteIdle(): void {
    if (!this.idle.push(this.slope_kg_per_s) || !this.idle.isFull) return;
    const threshold_kg_per_s = limits.idleSds * this.idle.slopeSd_kg_per_s;
    if (threshold_kg_per_s > limits.windyAbove_kg_per_s && this.patience < limits.mostPatience)
      this.bePatient(2);
    else if (threshold_kg_per_s < limits.calmBelow_kg_per_s && this.patience > 1) this.bePatient(0.5);
  }

  private bePatient(times: number): void {
    this.patience *= times;
    // White noise over twice the time has a slope with 2^-1.5 of the scatter; slower noise more, so this is a first guess.
    this.idle.rescale(1 / times);
  }

  /** Forget what was seen; the idle noise and the step of the display stay. */
  restart(): void {
    this.history.clear();
    this.averager = createBlockAverager();
    this.slope_kg_per_s = 0;
    this.slopeKnown = false;
    this.cleanFrom_s = -Infinity;
  }

  /** Largest minus smallest block of the last `lasting_s`, kg; null when the history is shorter. */
  range_kg(now_s: number, lasting_s: number): number | null {
    const { times_s, masses_kg } = this.history;
    const from = this.history.indexAt(now_s - lasting_s);
    if (from >= times_s.length - 1 || (times_s[0] ?? now_s) > now_s - lasting_s) return null;
    let low = Infinity;
    let high = -Infinity;
    for (let i = from; i < masses_kg.length; i++) {
      const mass_kg = masses_kg[i] ?? 0;
      low = Math.min(low, mass_kg);
      high = Math.max(high, mass_kg);
    }
    return high - low;
  }
}
