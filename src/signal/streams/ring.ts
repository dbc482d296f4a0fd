/**
 * A buffer that never grows: when it is full the oldest item makes room, and that is counted.
 */
export class Ring<T> {
  readonly #items: (T | undefined)[];
  #first = 0;
  #length = 0;
  #overflowed = 0;

  /** Errors: RangeError unless `capacity` is a whole number of at least 1. */
  constructor(readonly capacity: number) {
    if (!Number.isInteger(capacity) || capacity < 1) throw new RangeError('a ring holds at least one item');
    this.#items = new Array<T | undefined>(capacity);
  }

  get length(): number {
    return this.#length;
  }

  /** Items lost to newer ones since the ring was made. */
  get overflowed(): number {
    return this.#overflowed;
  }

  push(item: T): void {
    const place = (this.#first + this.#length) % this.capacity;
    this.#items[place] = item;
    if (this.#length < this.capacity) this.#length += 1;
    else {
      this.#first = (this.#first + 1) % this.capacity;
      this.#overflowed += 1;
    }
  }

  /** The item `index` places after the oldest; undefined outside. */
  at(index: number): T | undefined {
    if (index < 0 || index >= this.#length) return undefined;
    return this.#items[(this.#first + index) % this.capacity];
  }

  /** Oldest first; the ring keeps them. */
  toArray(): T[] {
    return Array.from({ length: this.#length }, (_, index) => this.at(index) as T);
  }

  /** Oldest first; the ring is empty afterwards. */
  drain(): T[] {
    const items = this.toArray();
    this.clear();
    return items;
  }

  clear(): void {
    this.#items.fill(undefined);
    this.#first = 0;
    this.#length = 0;
  }
}
