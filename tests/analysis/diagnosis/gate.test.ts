import { describe, expect, it } from 'vitest';
import { tQuantile } from '../../../src/base/statistics/distributions.ts';
import { aicc, gateOf, USUAL_GATE } from '../../../src/analysis/diagnosis/gate.ts';

describe('AICc', () => {
  it('is Hurvich and Tsai’s in the usual design: 2p + 2p(p + 1)/(n − p − 1), and 1 more for a free scale', () => {
    expect(aicc(10, 'sound', 15)).toBeCloseTo(10 + 2 + 4 / 13, 12);
    expect(aicc(10, 'scale', 15)).toBeCloseTo(10 + 3 + 4 / 13, 12);
    expect(aicc(10, 'shape', 15)).toBeCloseTo(10 + 4 + 12 / 12, 12);
    expect(aicc(10, 'shape', 30)).toBeCloseTo(10 + 4 + 12 / 27, 12);
  });

  it('asks no more of a bent curve in one pour of five than in the usual design', () => {
    for (const kind of ['sound', 'scale', 'shape'] as const) expect(aicc(0, kind, 5)).toBe(aicc(0, kind, 15));
  });
});

describe('the gate', () => {
  it('is 7 for doubts that are known', () => {
    expect(gateOf(Infinity)).toBe(USUAL_GATE);
    expect(USUAL_GATE).toBe(7);
  });

  it('rises as the doubts rest on fewer degrees of freedom, and a fall of 8 stays as rare', () => {
    expect(gateOf(1e6)).toBeCloseTo(7, 3);
    const gates = [100, 30, 12, 6].map(gateOf);
    expect(gates).toEqual([...gates].sort((a, b) => a - b));
    // √8 is the two-sided 0.47 % point of the normal; the same point of t with 12 degrees of freedom, squared, less the scale's 1.
    expect(gateOf(12)).toBeCloseTo(tQuantile(1 - 0.004678 / 2, 12) ** 2 - 1, 2);
  });
});
