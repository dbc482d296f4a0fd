import type { GapReason } from '../../base/because.ts';
import type { CatchEvent, CatchListener } from './catch-event.ts';
import { medianOf } from './slope.ts';

/** The usual detector, which can be told that hands have taken hold of what stands on the scale. */
export interface HandledListener extends CatchListener {
  /** What runs ends with the last reading that was the sprayer's alone, at `before_s`; afterwards everything starts anew. */
  handled(at_s: number, before_s: number): CatchEvent[];
  /** It stands there again, still, at that level: no need to wait until it has rested. */
  standsAgain(at_s: number, level_kg: number): void;
}

/** So much in so short a time is no water: 0.67 kg/s, about 10 gal/min. */
const FALL_KG = 1;
const FALL_WITHIN_S = 1.5;
/** Water only leaves: so much more, for so long, is a tank being filled. Knocks and leaning are shorter; the inner detector knows them. */
const RISE_KG = 0.15;
const RISE_FOR_S = 7;
const REMEMBERED_S = 3;
/** Against what it weighed so long ago or longer, so that a knock that lightens it is no rise afterwards. */
const EARLIER_S = 2;
/** A lift begins so long before it is seen (the hand, and the scale's own average). */
const BEFORE_FALL_S = 0.5;
const FALLEN_KG = 0.4;
/** Let go of: still for so long, or back for so long whatever it does. */
const STILL_FOR_S = 1.2;
const STILL_KG = 0.012;
const BACK_AT_LAST_S = 3;
/** Back where it stood, give or take what a hose that lies otherwise makes. */
const SAME_KG = 0.1;
const STOOD_KEPT = 3;
/** A display that is set to zero gets there from one reading to the next: that is the inner detector's to judge. */
const ZERO_KG = 0.0011;

interface Seen {
  readonly time_s: number;
  readonly mass_kg: number;
  /** Something presses on it: what goes when that goes is not the sprayer. */
  pressed?: boolean;
}

/**
 * The sprayer stands on the scale and loses what it sprays: the same detector hears the mass with its sign turned, so every mass in its
 * events is minus what the scale shows. Lifting a sprayer would then look like water by the bucket, and filling its tank like a lifted
 * pail, so both are taken out here, before the sign is turned: hands are on it from a fall or a rise that water can't make until it
 * stands still again, and nothing is heard meanwhile.
 */
export function createTurnedDetector(inner: HandledListener): CatchListener {
  return new TurnedDetector(inner);
}

class TurnedDetector implements CatchListener {
  private seen: Seen[] = [];
  /** When the rise that goes on began, and from what. */
  private risen: Seen | null = null;
  private fallen = 0;
  /** While hands are on it: what it weighed before, and the least since. */
  private held: { readonly before_kg: number; least_kg: number; back_s: number | null } | null = null;
  /** What it weighed before hands came, newest last: a hand that leans and goes leaves one of these. */
  private stood_kg: number[] = [];

  constructor(private readonly inner: HandledListener) {}

  get state(): CatchListener['state'] {
    return this.held === null ? this.inner.state : 'away';
  }

  get level_kg(): number | null {
    return this.held === null ? this.inner.level_kg : null;
  }

  push(time_s: number, mass_kg: number | null): CatchEvent[] {
    if (mass_kg === null || !Number.isFinite(mass_kg)) {
      return this.held === null ? this.inner.push(time_s, null) : [];
    }
    if (!Number.isFinite(time_s) || time_s <= (this.seen.at(-1)?.time_s ?? -Infinity)) return [];
    this.seen.push({ time_s, mass_kg });
    while (this.seen[0]!.time_s < time_s - REMEMBERED_S) this.seen.shift();
    if (this.held !== null) return this.whenHeld(this.held, time_s, mass_kg);
    const before_s = this.taken(time_s, mass_kg);
    if (before_s === null) return this.inner.push(time_s, -mass_kg);
    const before_kg =
      this.risen?.mass_kg ?? (this.seen.findLast((one) => one.time_s <= before_s) ?? this.seen[0]!).mass_kg;
    this.held = { before_kg, least_kg: mass_kg, back_s: null };
    this.stood_kg = [...this.stood_kg.slice(-STOOD_KEPT), before_kg];
    this.forget(time_s, mass_kg);
    return this.inner.handled(time_s, before_s);
  }

  gap(at_s: number, because: GapReason): CatchEvent[] {
    this.seen = [];
    this.stood_kg = [];
    this.risen = null;
    this.held = null;
    return this.inner.gap(at_s, because);
  }

  tared(at_s: number): CatchEvent[] {
    this.seen = [];
    this.stood_kg = [];
    this.risen = null;
    return this.inner.tared(at_s);
  }

  end(at_s: number): CatchEvent[] {
    return this.inner.end(at_s);
  }

  /** Last moment at which the sprayer stood there alone, once it does so no more; else null. */
  private taken(time_s: number, mass_kg: number): number | null {
    const recent = this.seen.filter(
      (one) => one.time_s >= time_s - FALL_WITHIN_S && (one.pressed !== true || one.time_s === time_s),
    );
    const most_kg = Math.max(...recent.map((one) => one.mass_kg));
    const last = this.seen.at(-2);
    const isZeroed =
      Math.abs(mass_kg) <= ZERO_KG &&
      last !== undefined &&
      last.mass_kg - mass_kg > 0.8 * (most_kg - mass_kg);
    if (isZeroed && most_kg - mass_kg > FALL_KG) {
      // Nothing before it can be compared with what is shown from now on.
      this.forget(time_s, mass_kg);
      return null;
    }
    this.fallen = most_kg - mass_kg > FALL_KG ? this.fallen + 1 : 0;
    if (this.fallen >= 2) {
      const falls = recent.find((one) => one.mass_kg < most_kg - FALLEN_KG) ?? { time_s };
      return falls.time_s - BEFORE_FALL_S;
    }
    const earlier_kg = medianOf(
      this.seen.filter((one) => one.time_s <= time_s - EARLIER_S).map((one) => one.mass_kg),
    );
    const from_kg = this.risen?.mass_kg ?? earlier_kg;
    if (from_kg === null || mass_kg - from_kg <= RISE_KG) {
      this.risen = null;
      return null;
    }
    this.risen ??= { time_s, mass_kg: from_kg };
    this.seen.at(-1)!.pressed = true;
    return time_s - this.risen.time_s >= RISE_FOR_S ? this.risen.time_s - 0.3 : null;
  }

  private whenHeld(held: NonNullable<TurnedDetector['held']>, time_s: number, mass_kg: number): CatchEvent[] {
    held.least_kg = Math.min(held.least_kg, mass_kg);
    const isBack =
      mass_kg > held.least_kg + FALL_KG ||
      mass_kg > held.before_kg - SAME_KG ||
      this.stood_kg.some((stood_kg) => Math.abs(mass_kg - stood_kg) < SAME_KG);
    held.back_s = isBack ? (held.back_s ?? time_s) : null;
    if (held.back_s === null) return [];
    const back_s = held.back_s;
    const lately = this.seen
      .filter((one) => one.time_s >= Math.max(back_s, time_s - STILL_FOR_S))
      .map((one) => one.mass_kg);
    const isStill = Math.max(...lately) - Math.min(...lately) <= STILL_KG;
    const backFor_s = time_s - back_s;
    if (backFor_s < STILL_FOR_S || (!isStill && backFor_s < BACK_AT_LAST_S)) return [];
    // A tank that is still being filled is in hand whatever the time.
    const rises = lately.at(-1)! - lately[0]! > STILL_KG;
    if (!isStill && rises) return [];
    this.held = null;
    const still = isStill ? this.seen.filter((one) => one.time_s >= time_s - STILL_FOR_S) : [];
    this.forget(time_s, mass_kg);
    const events = still.flatMap((one) => this.inner.push(one.time_s, -one.mass_kg));
    if (isStill) this.inner.standsAgain(time_s, -mass_kg);
    return [...events, { kind: 'replaced', at_s: time_s, level_kg: -mass_kg }];
  }

  private forget(time_s: number, mass_kg: number): void {
    this.seen = [{ time_s, mass_kg }];
    this.risen = null;
    this.fallen = 0;
  }
}
