import { describe, expect, it } from 'vitest';
import { digamma, trigamma } from '../../../src/base/statistics/polygamma.ts';
import { squeezeVariances } from '../../../src/base/statistics/squeeze-variances.ts';
import { Random } from '../../../src/simulation/random.ts';

// Known values: ψ(1) = −γ, ψ(1/2) = −γ − 2 ln 2, ψ′(1) = π²/6, ψ′(1/2) = π²/2 (Abramowitz & Stegun 6.3.2-3, 6.4.2-4, recalled).
describe('the derivatives of ln Γ', () => {
  it('have their known values', () => {
    const gamma = 0.5772156649015329;
    expect(digamma(1)).toBeCloseTo(-gamma, 12);
    expect(digamma(0.5)).toBeCloseTo(-gamma - 2 * Math.LN2, 12);
    expect(digamma(2)).toBeCloseTo(1 - gamma, 12);
    expect(trigamma(1)).toBeCloseTo(Math.PI ** 2 / 6, 11);
    expect(trigamma(0.5)).toBeCloseTo(Math.PI ** 2 / 2, 11);
    expect(() => trigamma(0)).toThrow(RangeError);
  });
});

describe('variances drawn towards their common value', () => {
  const seen = (random: Random, variance: number, df: number): number => {
    let sum = 0;
    for (let i = 0; i < df; i++) sum += random.normal() ** 2;
    return (variance * sum) / df;
  };

  it('are one when they may be one (15 of 4 degrees of freedom, in nearly all of 300 sweeps, seed 2)', () => {
    const random = new Random(2);
    const pooled = Array.from({ length: 300 }, () =>
      squeezeVariances(
        Array.from({ length: 15 }, () => seen(random, 4, 4)),
        new Array<number>(15).fill(4),
      ),
    ).filter((squeezed) => squeezed.priorDegreesOfFreedom === Infinity);
    expect(pooled.length).toBeGreaterThan(280);
    for (const { variances } of pooled) expect(new Set(variances).size).toBe(1);
  });

  it('stay apart when they are apart (sd 1 and 10)', () => {
    const random = new Random(3);
    const squeezed = squeezeVariances(
      Array.from({ length: 16 }, (_, i) => seen(random, i % 2 === 0 ? 1 : 100, 6)),
      new Array<number>(16).fill(6),
    );
    expect(squeezed.priorDegreesOfFreedom).toBeLessThan(4);
    const ratio = squeezed.variances[1]! / squeezed.variances[0]!;
    expect(ratio).toBeGreaterThan(10);
  });

  it('are left alone when there are two, or one is zero', () => {
    expect(squeezeVariances([1, 9], [4, 4]).variances).toEqual([1, 9]);
    expect(squeezeVariances([1, 0, 9], [4, 4, 4]).variances).toEqual([1, 0, 9]);
    expect(squeezeVariances([1, 1, 1], [4, 4, 4]).variances).toEqual([1, 1, 1]);
    expect(() => squeezeVariances([1], [])).toThrow(RangeError);
  });
});
