import type { Random } from './random.ts';

/**
 * A force that wanders and forgets: a stationary Gaussian process of unit standard deviation, exactly discretised for any
 * step. Without a frequency it is AR(1), autocovariance exp(-h/memory); with one it rings: exp(-h/memory) cos(2 pi f h).
 */
export class Wander {
  private real: number;
  private imaginary: number;
  private last_s: number | null = null;

  constructor(
    private readonly random: Random,
    private readonly memory_s: number,
    private frequency_Hz = 0,
  ) {
    this.real = random.normal();
    this.imaginary = random.normal();
  }

  at(t_s: number): number {
    const step_s = this.last_s === null ? 0 : t_s - this.last_s;
    this.last_s = t_s;
    if (step_s <= 0) return this.real;
    const keep = Math.exp(-step_s / this.memory_s);
    const fresh = Math.sqrt(1 - keep * keep);
    const turn = 2 * Math.PI * this.frequency_Hz * step_s;
    const cos = Math.cos(turn) * keep;
    const sin = Math.sin(turn) * keep;
    const real = cos * this.real - sin * this.imaginary + fresh * this.random.normal();
    this.imaginary = sin * this.real + cos * this.imaginary + fresh * this.random.normal();
    this.real = real;
    return real;
  }
}
