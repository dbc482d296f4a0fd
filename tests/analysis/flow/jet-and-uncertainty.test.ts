import { describe, expect, it } from 'vitest';
import {
  expandUncertainty,
  ownUncertainty,
  wholeUncertainty,
} from '../../../src/analysis/flow/catch-uncertainty.ts';
import { jetAllowance_kg_per_s } from '../../../src/analysis/flow/jet-allowance.ts';

describe('the jet allowance', () => {
  it('is r·J/(√3·T) up to 30 s and stays there, as T/30 says (arithmetic)', () => {
    expect(jetAllowance_kg_per_s(0.01, 20, 'guided')).toBeCloseTo((0.05 * 0.01) / Math.sqrt(3) / 20, 15);
    expect(jetAllowance_kg_per_s(0.01, 30, 'hand-held')).toBeCloseTo((0.15 * 0.01) / Math.sqrt(3) / 30, 15);
    expect(jetAllowance_kg_per_s(0.01, 60, 'guided')).toBeCloseTo(
      jetAllowance_kg_per_s(0.01, 30, 'guided'),
      15,
    );
  });

  it('is nothing without a push, and needs a length', () => {
    expect(jetAllowance_kg_per_s(0, 20, 'guided')).toBe(0);
    expect(() => jetAllowance_kg_per_s(0.01, 0, 'guided')).toThrow(RangeError);
  });
});

describe('the four parts of a catch', () => {
  const parts = {
    typeA_m3_per_s: 3,
    typeADegreesOfFreedom: 4,
    jetAllowance_m3_per_s: 2,
    ownTypeB_m3_per_s: 1,
    sharedTypeB_m3_per_s: 4,
  };

  it('combine by root sum of squares with Welch-Satterthwaite degrees of freedom', () => {
    const whole = wholeUncertainty(parts);
    expect(whole.standardUncertainty).toBeCloseTo(Math.sqrt(9 + 4 + 1 + 16), 12);
    expect(whole.degreesOfFreedom).toBeCloseTo(30 ** 2 / (81 / 4), 9);
  });

  it('leave the shared one out of what is the catch’s own', () => {
    expect(ownUncertainty(parts).standardUncertainty).toBeCloseTo(Math.sqrt(14), 12);
  });

  it('stay finite when nothing scatters: the normal factor, a million degrees of freedom', () => {
    const known = expandUncertainty([{ standardUncertainty: 1, degreesOfFreedom: Infinity }]);
    expect(known.degreesOfFreedom).toBe(1e6);
    expect(known.expandedUncertainty95).toBeCloseTo(1.95996, 4);
    expect(Object.values(expandUncertainty([])).every(Number.isFinite)).toBe(true);
  });
});
