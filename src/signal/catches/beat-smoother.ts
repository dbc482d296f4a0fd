import type { GapReason } from '../../base/because.ts';
import type { CatchEvent, CatchListener } from './catch-event.ts';
import type { HandledListener } from './turned-detector.ts';

/**
 * For a pump worked by hand: the jet's push swings with every stroke, and faster than the water rises. The mean over exactly one stroke
 * of the beat has no swing at the beat nor at its multiples, so the detector hears that, in the middle of its time: edges stay where
 * they are, and everything is told half a stroke later. Events carry the time at which they were told.
 */
export function createBeatSmoother(inner: HandledListener, strokePeriod_s: number): HandledListener {
  return new BeatSmoother(inner, strokePeriod_s);
}

/** So much within so little is a hand on the pail, not a stroke: shown as it comes, or it would look like slow water. */
const STEEP_KG = 0.15;
const STEEP_WITHIN_S = 0.5;

class BeatSmoother implements HandledListener {
  private times_s: number[] = [];
  private masses_kg: number[] = [];
  private steep_s = -Infinity;

  constructor(
    private readonly inner: HandledListener,
    private readonly period_s: number,
  ) {}

  get state(): CatchListener['state'] {
    return this.inner.state;
  }

  get level_kg(): number | null {
    return this.inner.level_kg;
  }

  push(time_s: number, mass_kg: number | null): CatchEvent[] {
    if (mass_kg === null || !Number.isFinite(mass_kg)) return this.inner.push(time_s, null);
    if (!Number.isFinite(time_s) || time_s <= (this.times_s.at(-1) ?? -Infinity)) return [];
    this.times_s.push(time_s);
    this.masses_kg.push(mass_kg);
    // The reading that lies one period back is half in: kept until the next one has left too.
    while (this.times_s.length > 2 && this.times_s[1]! <= time_s - this.period_s) {
      this.times_s.shift();
      this.masses_kg.shift();
    }
    if (this.isSteep(time_s, mass_kg)) this.steep_s = time_s;
    if (time_s - this.steep_s < this.period_s + STEEP_WITHIN_S) return this.inner.push(time_s, mass_kg);
    const whole_s = time_s - this.times_s[0]!;
    if (whole_s < 0.9 * this.period_s) return [];
    return told(this.inner.push(time_s - whole_s / 2, this.mean_kg(whole_s)), time_s);
  }

  gap(at_s: number, because: GapReason): CatchEvent[] {
    this.forget();
    return this.inner.gap(at_s, because);
  }

  tared(at_s: number): CatchEvent[] {
    this.forget();
    return this.inner.tared(at_s);
  }

  handled(at_s: number, before_s: number): CatchEvent[] {
    this.forget();
    return this.inner.handled(at_s, before_s);
  }

  standsAgain(at_s: number, level_kg: number): void {
    this.inner.standsAgain(at_s, level_kg);
  }

  end(at_s: number): CatchEvent[] {
    return this.inner.end(at_s);
  }

  private isSteep(time_s: number, mass_kg: number): boolean {
    let i = this.times_s.length - 1;
    while (i > 0 && this.times_s[i - 1]! >= time_s - STEEP_WITHIN_S) i--;
    return Math.abs(mass_kg - this.masses_kg[i]!) > STEEP_KG;
  }

  /** Trapezium rule: readings may be lost, and the period is seldom a whole number of them. */
  private mean_kg(whole_s: number): number {
    let sum = 0;
    for (let i = 1; i < this.times_s.length; i++) {
      sum += 0.5 * (this.masses_kg[i]! + this.masses_kg[i - 1]!) * (this.times_s[i]! - this.times_s[i - 1]!);
    }
    return sum / whole_s;
  }

  private forget(): void {
    this.times_s = [];
    this.masses_kg = [];
    this.steep_s = -Infinity;
  }
}

function told(events: CatchEvent[], at_s: number): CatchEvent[] {
  return events.map((event) => ({ ...event, at_s }));
}
