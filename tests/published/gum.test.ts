import { describe, expect, it } from 'vitest';
import { tQuantile } from '../../src/base/statistics/distributions.ts';
import { combineUncertainty } from '../../src/base/statistics/welch-satterthwaite.ts';

// Source: GUM (JCGM 100:2008) H.1, inputs and results seen in MSLNZ/GTC (docs/API/GUM_H1.rst, test_uncertain_real_dof.py).
describe('the end gauge of GUM H.1', () => {
  const difference = combineUncertainty([
    { standardUncertainty: 5.8, degreesOfFreedom: 24 },
    { standardUncertainty: 3.9, degreesOfFreedom: 5 },
    { standardUncertainty: 6.7, degreesOfFreedom: 8 },
  ]);
  // The published digits are those of sensitivities at the nominal length (found here: 50 000 623 nm gives 31.66388).
  const length_nm = 50_000_000;
  const parts = [
    { standardUncertainty: 25, degreesOfFreedom: 18 },
    difference,
    // l·θ·u(δα): −0.1 K, rectangular ±1e-6 with 50 degrees of freedom
    { standardUncertainty: (length_nm * 0.1 * 1e-6) / Math.sqrt(3), degreesOfFreedom: 50 },
    // l·α·u(δθ): rectangular ±0.05 K with 2 degrees of freedom
    { standardUncertainty: (length_nm * 11.5e-6 * 0.05) / Math.sqrt(3), degreesOfFreedom: 2 },
  ];

  it('gives the uncertainty of the difference and its degrees of freedom', () => {
    expect(difference.standardUncertainty).toBeCloseTo(9.68194195397, 9);
    expect(difference.degreesOfFreedom).toBeCloseTo(25.4472507774, 8);
  });

  it('gives the combined uncertainty and 16.75 effective degrees of freedom from unrounded parts', () => {
    const combined = combineUncertainty(parts);
    expect(combined.standardUncertainty).toBeCloseTo(31.6637674111, 8);
    expect(combined.degreesOfFreedom).toBeCloseTo(16.7521475092, 8);
  });

  // Arithmetic on the rounded figures: the trap.
  it('would give 17.5 degrees of freedom from a result and parts rounded as printed', () => {
    const rounded = combineUncertainty([
      { standardUncertainty: 25, degreesOfFreedom: 18 },
      { standardUncertainty: 9.7, degreesOfFreedom: 25.6 },
      { standardUncertainty: 2.9, degreesOfFreedom: 50 },
      { standardUncertainty: 16.6, degreesOfFreedom: 2 },
    ]);
    expect((32 / rounded.standardUncertainty) ** 4 * rounded.degreesOfFreedom).toBeCloseTo(17.47, 1);
  });

  // t(0.995; 16) as printed to three decimals: 2.921 (e-Handbook table); the product is arithmetic.
  it('expands to 93 nm at 99 %', () => {
    expect(tQuantile(0.995, 16) * 32).toBeCloseTo(93.47, 2);
  });
});

// GUM G.4.1, from memory; arithmetic of Welch-Satterthwaite on it.
describe('the three relative uncertainties of GUM G.4.1', () => {
  it('make 1.03 % with 19 degrees of freedom, and 2.2 % at 95 %', () => {
    const combined = combineUncertainty([
      { standardUncertainty: 0.25, degreesOfFreedom: 9 },
      { standardUncertainty: 0.57, degreesOfFreedom: 4 },
      { standardUncertainty: 0.82, degreesOfFreedom: 14 },
    ]);
    expect(combined.standardUncertainty).toBeCloseTo(1.0295, 4);
    expect(combined.degreesOfFreedom).toBeCloseTo(18.999, 3);
    expect(combined.standardUncertainty * tQuantile(0.975, combined.degreesOfFreedom)).toBeCloseTo(2.155, 3);
  });
});
