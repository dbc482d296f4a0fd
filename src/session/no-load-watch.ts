import type { LoadWatch } from './load-watch.ts';

/** Nothing is weighed, so nobody knows how full the pail is: it is the person's to watch. */
export class NoLoadWatch implements LoadWatch {
  readonly level_kg = null;
  readonly told_kg = null;
  readonly room_kg = Infinity;
  readonly isEmpty = true;
  readonly isOn = true;
  readonly fullReason = 'scale-near-limit';

  fits(): boolean {
    return true;
  }

  rising(): boolean {
    return false;
  }

  assumeWater(): void {
    // No level, no water known.
  }

  quiet(): void {
    // What has passed a meter is no load.
  }

  replaced(): void {
    // Nor is it ever emptied.
  }

  tared(): void {
    // Nor set to zero.
  }
}
