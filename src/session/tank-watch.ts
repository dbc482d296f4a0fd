import { lastsFor, usableWater_kg } from '../planning/water-in-tank.ts';
import type { LoadWatch } from './load-watch.ts';
import type { RigSetup } from './sweep-setup.ts';

const WATER_KG_PER_M3 = 1000;
/** So much may be missing from a tank that counts as full; and so much more than before means that it was refilled. */
const NEARLY_KG = 0.2;

/**
 * Keeps count of the water in a sprayer that stands on the scale: full when the sweep begins and after each refill, by what the person
 * typed (`pailVolume_m3` of a rig with the sprayer on the scale); what it weighs less since then is gone.
 */
export class TankWatch implements LoadWatch {
  readonly fullReason = 'tank-low';
  readonly #fill_m3: number;
  #shown_kg: number | null = null;
  #hiddenByTare_kg = 0;
  /** What the sprayer would weigh without water. */
  #dry_kg: number | null = null;
  #assumedGone_kg = 0;

  constructor(rig: Pick<RigSetup, 'pailVolume_m3'>) {
    this.#fill_m3 = rig.pailVolume_m3;
  }

  get level_kg(): number | null {
    return this.#shown_kg;
  }

  get told_kg(): number | null {
    return this.#shown_kg === null ? null : Math.max(0, this.#water_kg);
  }

  get room_kg(): number {
    return usableWater_kg(this.#water_kg, this.#fill_m3);
  }

  get isEmpty(): boolean {
    return this.#water_kg > this.#fill_kg - NEARLY_KG;
  }

  get isOn(): boolean {
    return this.#dry_kg !== null && this.#load_kg > this.#dry_kg - NEARLY_KG;
  }

  fits(massFlow_kg_per_s: number | null, duration_s: number): boolean {
    return lastsFor(this.room_kg, massFlow_kg_per_s, duration_s);
  }

  assumeWater(water_kg: number): void {
    this.#assumedGone_kg = Math.min(water_kg, this.#fill_kg);
  }

  quiet(level_kg: number): void {
    this.#shown_kg = -level_kg;
    this.#dry_kg ??= this.#load_kg - this.#fill_kg + this.#assumedGone_kg;
  }

  rising(level_kg: number): boolean {
    this.#shown_kg = -level_kg;
    return this.#dry_kg !== null && this.room_kg <= 0;
  }

  replaced(level_kg: number, wasAsked: boolean): void {
    const before_kg = this.#load_kg;
    // A sprayer lifted off a platform that shows zero looks like a tare until it is back.
    if (this.#hiddenByTare_kg > 0 && -level_kg > 0.3 * this.#hiddenByTare_kg) this.#hiddenByTare_kg = 0;
    this.#shown_kg = -level_kg;
    const isRefilled = wasAsked || this.#load_kg > before_kg + NEARLY_KG;
    if (isRefilled || this.#dry_kg === null) this.#dry_kg = this.#load_kg - this.#fill_kg;
  }

  tared(): void {
    this.#hiddenByTare_kg += this.#shown_kg ?? 0;
    this.#shown_kg = 0;
  }

  get #fill_kg(): number {
    return this.#fill_m3 * WATER_KG_PER_M3;
  }

  get #load_kg(): number {
    return (this.#shown_kg ?? 0) + this.#hiddenByTare_kg;
  }

  get #water_kg(): number {
    return this.#dry_kg === null ? this.#fill_kg : this.#load_kg - this.#dry_kg;
  }
}
