/**
 * Seeded random numbers for simulations: the small 32-bit generator known as sfc32 (three mixed words and a counter;
 * Doty-Humphrey, PractRand; from memory, not looked up). Not for secrets.
 *
 * `stream(name)` gives an independent generator whose numbers depend only on the seed and the names on the way to it:
 * one more draw in one place never shifts the numbers of another, so scenarios stay comparable while the code grows.
 */
export class Random {
  private a: number;
  private b: number;
  private c: number;
  private counter = 1;
  private spare: number | null = null;
  private readonly key: number;
  private readonly path: string;

  constructor(seed: number, path = '') {
    this.path = path;
    this.key = mix(Math.floor(seed) >>> 0, Math.floor(seed / 2 ** 32) >>> 0);
    this.a = mix(this.key, hash(path, 0x811c9dc5));
    this.b = mix(this.a, hash(path, 0x01000193));
    this.c = mix(this.b, this.key);
    for (let i = 0; i < 15; i += 1) this.word();
    this.seed = seed;
  }

  private readonly seed: number;

  /** An independent generator, the same one every time for the same name. */
  stream(name: string | number): Random {
    return new Random(this.seed, `${this.path}/${String(name)}`);
  }

  /** 32 random bits, 0 .. 2^32 - 1. */
  word(): number {
    const sum = (this.a + this.b + this.counter) | 0;
    this.counter = (this.counter + 1) | 0;
    this.a = this.b ^ (this.b >>> 9);
    this.b = (this.c + (this.c << 3)) | 0;
    this.c = (((this.c << 21) | (this.c >>> 11)) + sum) | 0;
    return sum >>> 0;
  }

  /** Uniform in [0, 1), 53 bits. */
  fraction(): number {
    return ((this.word() >>> 5) * 2 ** 26 + (this.word() >>> 6)) / 2 ** 53;
  }

  uniform(low: number, high: number): number {
    return low + (high - low) * this.fraction();
  }

  /** Uniform in the range given as a pair. */
  within(range: Range): number {
    return this.uniform(range[0], range[1]);
  }

  chance(probability: number): boolean {
    return this.fraction() < probability;
  }

  /** Standard normal deviate (Box and Muller's transform of two uniform ones). */
  normal(): number {
    if (this.spare !== null) {
      const kept = this.spare;
      this.spare = null;
      return kept;
    }
    const radius = Math.sqrt(-2 * Math.log(1 - this.fraction()));
    const angle = 2 * Math.PI * this.fraction();
    this.spare = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  }
}

/** Lowest and highest value of a uniform draw. */
export type Range = readonly [low: number, high: number];

function hash(text: string, start: number): number {
  let h = start | 0;
  for (let i = 0; i < text.length; i += 1) {
    h = Math.imul(h ^ text.charCodeAt(i), 0x01000193);
    h ^= h >>> 15;
  }
  return h >>> 0;
}

function mix(left: number, right: number): number {
  let h = (left + Math.imul(right ^ 0x9e3779b9, 0x85ebca6b)) | 0;
  h = Math.imul(h ^ (h >>> 16), 0x7feb352d);
  h = Math.imul(h ^ (h >>> 15), 0x846ca68b);
  return (h ^ (h >>> 16)) >>> 0;
}
