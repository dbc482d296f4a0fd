import type { RigSetup } from './sweep-setup.ts';
import type { LoadWatch } from './load-watch.ts';
import { roomLeft, USABLE_SHARE, willFit } from '../planning/room-in-pail.ts';

/** So much stays in a pail that was emptied. */
const SPLASH_KG = 0.2;
/** No pail is lighter. */
const PUT_BACK_KG = 0.3;

/**
 * Keeps count of what stands on the scale: the level as shown, what a tare has hidden, and the level of the empty pail.
 * A scale's limit holds for the whole load, so a tare must not make room that is not there.
 */
export class PailWatch implements LoadWatch {
  readonly fullReason = 'scale-near-limit';
  readonly #rig: RigSetup;
  #level_kg: number | null = null;
  #hiddenByTare_kg = 0;
  #empty_kg: number | null = null;
  #assumed_kg = 0;
  #ran = false;

  constructor(rig: RigSetup) {
    this.#rig = rig;
  }

  get level_kg(): number | null {
    return this.#level_kg;
  }

  get told_kg(): number | null {
    return this.#level_kg;
  }

  /** Whole load on the scale, as far as it is known. */
  get load_kg(): number {
    return (this.#level_kg ?? 0) + this.#hiddenByTare_kg;
  }

  get room_kg(): number {
    return roomLeft(this.#rig, this.load_kg, this.#empty_kg ?? this.load_kg);
  }

  /** No more than a splash stands in it, as far as is known. */
  get isEmpty(): boolean {
    return this.load_kg - (this.#empty_kg ?? this.load_kg) < SPLASH_KG;
  }

  /** Something as heavy as the empty pail stands there: not the bare platform. */
  get isOn(): boolean {
    return this.#empty_kg !== null && this.load_kg > this.#empty_kg - SPLASH_KG;
  }

  fits(massFlow_kg_per_s: number | null, duration_s: number): boolean {
    return willFit(this.room_kg, massFlow_kg_per_s, duration_s);
  }

  /** So much water may stand in the pail already when the first level is seen. */
  assumeWater(water_kg: number): void {
    this.#assumed_kg = water_kg;
  }

  /** A quiet level: what the pail weighs while nothing happens. The first one is taken as the empty pail. */
  quiet(level_kg: number): void {
    const jumped_kg = level_kg - (this.#level_kg ?? level_kg);
    // A pail lifted off a platform that shows zero looks like a tare until it comes back, all at once and without water.
    if (!this.#ran && jumped_kg > PUT_BACK_KG) this.#hiddenByTare_kg = 0;
    this.#ran = false;
    this.#level_kg = level_kg;
    this.#empty_kg ??= this.load_kg - this.#assumed_kg;
  }

  /** Level while water runs; true when it is time to shut off (limit of the scale, or the pail nearly full). */
  rising(level_kg: number): boolean {
    this.#ran = true;
    this.#level_kg = level_kg;
    const water_kg = this.load_kg - (this.#empty_kg ?? this.load_kg);
    return (
      this.load_kg >= USABLE_SHARE * this.#rig.scaleLimit_kg ||
      water_kg >= USABLE_SHARE * this.#rig.pailVolume_m3 * 1000
    );
  }

  replaced(level_kg: number): void {
    this.#level_kg = level_kg;
    this.#empty_kg = Math.min(this.#empty_kg ?? Infinity, this.load_kg);
  }

  tared(): void {
    this.#hiddenByTare_kg += this.#level_kg ?? 0;
    this.#level_kg = 0;
  }
}
