/** A pail that is carried, or stood on a platform that is carried, swings by more than this, kg. Judgement, no source. */
const MOVED_KG = 0.03;
/** At rest: so long within so little. A display of 5 g steps rests within two of them. Judgement, no source. */
const REST_S = 3;
const REST_KG = 0.012;
/** Hands still busy so long after the last swing are no complaint; after that the scale itself is restless. */
const PATIENCE_S = 20;

export type PailMove = 'not-moved' | 'moving' | 'restless' | 'at-rest';

/**
 * Pail and scale go to another nozzle: they have been moved, and stand at rest. Levels before and after may differ as they like (a pail
 * that was emptied, a scale that found its zero anew): what counts is that it moved and that it rests. Times: the readings'.
 */
export class MovedPail {
  #from_kg: number | null;
  #isMoved: boolean;
  #recent: { readonly time_s: number; readonly mass_kg: number }[] = [];
  #since_s: number | null = null;

  /**
   * @param mustMove false for the first nozzle: the pail may stand there already.
   * @param from_kg where it stood when it was asked for: hands may be quicker than three seconds of rest. Null: not known.
   */
  constructor(mustMove: boolean, from_kg: number | null) {
    this.#isMoved = !mustMove;
    this.#from_kg = from_kg;
  }

  /** It was lifted, or readings broke off: somebody is at it. */
  disturbed(): void {
    this.#isMoved = true;
    this.#recent = [];
  }

  /** Water ran, or something else that is no move: it is listened for anew from the level that is there then. */
  again(from_kg: number | null): void {
    this.#isMoved = false;
    this.#from_kg = from_kg;
    this.#recent = [];
    this.#since_s = null;
  }

  reading(time_s: number, mass_kg: number): PailMove {
    this.#since_s ??= time_s;
    this.#recent.push({ time_s, mass_kg });
    while (this.#recent[0]!.time_s < time_s - REST_S) this.#recent.shift();
    const masses = this.#recent.map((one) => one.mass_kg);
    const isQuiet =
      time_s - this.#recent[0]!.time_s > 0.9 * REST_S && Math.max(...masses) - Math.min(...masses) <= REST_KG;
    if (this.#from_kg === null && isQuiet && !this.#isMoved) this.#from_kg = mass_kg;
    if (this.#from_kg !== null && Math.abs(mass_kg - this.#from_kg) > MOVED_KG) this.#isMoved = true;
    if (isQuiet) this.#since_s = time_s;
    if (this.#isMoved && isQuiet) return 'at-rest';
    if (time_s - this.#since_s > PATIENCE_S) {
      this.#since_s = time_s;
      return 'restless';
    }
    return this.#isMoved ? 'moving' : 'not-moved';
  }
}
