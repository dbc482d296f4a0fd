import type { ShutOffReason } from './prompt.ts';
import { NoLoadWatch } from './no-load-watch.ts';
import { PailWatch } from './pail-watch.ts';
import type { RigSetup } from './sweep-setup.ts';
import { TankWatch } from './tank-watch.ts';

/**
 * What stands on the scale and how much water it can still take, or give. Levels come as the detector hears them: for a sprayer they are
 * minus what the scale shows.
 */
export interface LoadWatch {
  readonly level_kg: number | null;
  /** What the person is shown: the load of a pail, the water left in a tank. */
  readonly told_kg: number | null;
  /** Water it can still take (pail) or give (tank), kg. */
  readonly room_kg: number;
  /** As much room as there ever is: an empty pail, a full tank. */
  readonly isEmpty: boolean;
  readonly isOn: boolean;
  readonly fullReason: Extract<ShutOffReason, 'scale-near-limit' | 'tank-low'>;
  fits(massFlow_kg_per_s: number | null, duration_s: number): boolean;
  /** So much water was caught before the first level was seen, and nobody knows what became of it. */
  assumeWater(water_kg: number): void;
  quiet(level_kg: number): void;
  /** While water runs; true when it is time to shut off. */
  rising(level_kg: number): boolean;
  /** @param wasAsked the person had been asked to empty or refill it. */
  replaced(level_kg: number, wasAsked: boolean): void;
  tared(): void;
}

/** @param isMetered nothing is weighed: a meter alone. */
export function createLoadWatch(rig: RigSetup, isMetered = false): LoadWatch {
  if (isMetered) return new NoLoadWatch();
  return rig.standsOnScale === 'sprayer' ? new TankWatch(rig) : new PailWatch(rig);
}
