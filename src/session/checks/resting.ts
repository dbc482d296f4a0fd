/** Values remembered: more than any window looks back. */
const REMEMBERED_S = 20;

/** The newest values of one channel, with their times, and how much they moved lately. */
export class Resting {
  time_s: number[] = [];
  value: number[] = [];

  push(time_s: number, value: number): void {
    this.time_s.push(time_s);
    this.value.push(value);
    while (this.time_s[0]! < time_s - REMEMBERED_S) {
      this.time_s.shift();
      this.value.shift();
    }
  }

  clear(): void {
    this.time_s = [];
    this.value = [];
  }

  /** Mean of the last so many seconds; null before they are full. */
  meanOver(span_s: number): number | null {
    const values = this.#last(span_s);
    return values === null ? null : values.reduce((sum, x) => sum + x, 0) / values.length;
  }

  /** Half of the last so many seconds against the other half, and the whole range: small for a level at rest, noise or not. */
  movedOver(span_s: number): { readonly shift: number; readonly range: number } | null {
    const values = this.#last(span_s);
    if (values === null || values.length < 4) return null;
    const half = Math.floor(values.length / 2);
    const mean = (part: readonly number[]): number => part.reduce((sum, x) => sum + x, 0) / part.length;
    return {
      shift: Math.abs(mean(values.slice(half)) - mean(values.slice(0, half))),
      range: Math.max(...values) - Math.min(...values),
    };
  }

  #last(span_s: number): readonly number[] | null {
    const newest = this.time_s.at(-1);
    if (newest === undefined || this.time_s[0]! > newest - span_s * 0.9) return null;
    let i = this.time_s.length;
    while (i > 0 && this.time_s[i - 1]! > newest - span_s) i -= 1;
    return this.value.slice(i);
  }
}
