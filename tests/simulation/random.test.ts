import { describe, expect, it } from 'vitest';
import { Random } from '../../src/simulation/random.ts';

const draws = (random: Random, n: number): number[] => Array.from({ length: n }, () => random.fraction());

describe('seeded random numbers', () => {
  it('repeat for a seed, large seeds included, and differ between seeds', () => {
    expect(draws(new Random(7), 5)).toEqual(draws(new Random(7), 5));
    expect(draws(new Random(7), 5)).not.toEqual(draws(new Random(8), 5));
    expect(draws(new Random(7), 5)).not.toEqual(draws(new Random(7 + 2 ** 32), 5));
  });

  it('keep a named stream as it is, however much is drawn beside it', () => {
    const untouched = new Random(3).stream('slosh').stream(2);
    const busy = new Random(3);
    draws(busy, 1000);
    draws(busy.stream('other'), 10);
    expect(draws(busy.stream('slosh').stream(2), 20)).toEqual(draws(untouched, 20));
  });

  it('have streams that do not follow one another', () => {
    const left = draws(new Random(1).stream('a'), 4000);
    const right = draws(new Random(1).stream('b'), 4000);
    const covariance = left.reduce((sum, x, i) => sum + (x - 0.5) * ((right[i] ?? 0) - 0.5), 0) / 4000;
    // sd of the correlation of 4000 independent pairs: 0.016
    expect(Math.abs(covariance * 12)).toBeLessThan(0.06);
  });

  it('have the mean, spread and tails of the distributions that they are named for', () => {
    const random = new Random(5);
    const uniform = draws(random, 40_000);
    const normal = Array.from({ length: 40_000 }, () => random.normal());
    const mean = (values: number[]): number => values.reduce((sum, x) => sum + x, 0) / values.length;
    expect(Math.abs(mean(uniform) - 0.5)).toBeLessThan(0.006);
    expect(Math.abs(mean(uniform.map((x) => x * x)) - 1 / 3)).toBeLessThan(0.006);
    expect(Math.abs(mean(normal))).toBeLessThan(0.02);
    expect(Math.abs(mean(normal.map((x) => x * x)) - 1)).toBeLessThan(0.03);
    expect(Math.abs(mean(normal.map((x) => x ** 4)) - 3)).toBeLessThan(0.25);
    expect(mean(normal.map((x) => (Math.abs(x) > 1.96 ? 1 : 0)))).toBeCloseTo(0.05, 2);
  });
});
