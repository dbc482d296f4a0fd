import { describe, expect, it } from 'vitest';
import { compareAlternated, type AlternatedCatch } from '../../../src/analysis/comparison/alternated.ts';
import {
  biasOfOrder,
  orderOfAlternation,
  type AlternatedLabel,
} from '../../../src/analysis/comparison/alternation.ts';
import { Random } from '../../../src/simulation/random.ts';

const FLOW = 1.2e-5;

function caught(
  order: readonly AlternatedLabel[],
  of: {
    readonly ratio?: number;
    readonly sag?: number;
    readonly noise?: (i: number) => number;
    readonly own?: number;
  },
): AlternatedCatch[] {
  return order.map((label, i) => {
    const flow =
      FLOW *
      (label === 'A' ? (of.ratio ?? 1) : 1) *
      Math.exp((-(of.sag ?? 0) * i) / (order.length - 1) + (of.noise?.(i) ?? 0));
    return {
      label,
      at_s: 40 * i,
      flow_m3_per_s: flow,
      ownStandardUncertainty_m3_per_s: (of.own ?? 0) * flow,
    };
  });
}

function compared(catches: readonly AlternatedCatch[]) {
  const found = compareAlternated(catches);
  if (!found.ok) throw new Error(found.because);
  return found.value;
}

describe('the order A B B A', () => {
  it('goes on A B B A', () => {
    expect(orderOfAlternation(4).join(' ')).toBe('A B B A A B B A');
    expect(orderOfAlternation(3).join(' ')).toBe('A B B A A B');
    expect(() => orderOfAlternation(0)).toThrow(RangeError);
  });

  it('lets no even drift through, where A B A B lets 0.43 % of a 3 % sag over 8 catches through (measurement 11.10)', () => {
    const turnAbout: AlternatedLabel[] = ['A', 'B', 'A', 'B', 'A', 'B', 'A', 'B'];
    expect(biasOfOrder(turnAbout, 0.03)).toBeCloseTo(0.0043, 4);
    expect(biasOfOrder(orderOfAlternation(4), 0.03)).toBeCloseTo(0, 12);
    // The same from flows: the plain means see it, the fit does not.
    const sagging = compared(caught(turnAbout, { sag: 0.03, own: 1e-4 }));
    expect(sagging.plainDifference).toBeCloseTo(0.0043, 4);
    expect(sagging.compared.ratio).toBeCloseTo(1, 9);
    expect(sagging.drift?.relative).toBeCloseTo(-0.03, 3);
    expect(compared(caught(orderOfAlternation(4), { sag: 0.03, own: 1e-4 })).plainDifference).toBeCloseTo(
      0,
      12,
    );
  });

  it('needs no fitted drift for four catches, and fits one where four came in another order', () => {
    const balanced = compared(caught(orderOfAlternation(2), { ratio: 1.05, sag: 0.02, own: 1e-3 }));
    expect(balanced.trendRemoved).toBe(false);
    expect(balanced.compared.ratio).toBeCloseTo(1.05, 9);
    expect(balanced.degreesOfFreedom).toBe(2);
    const other = compared(caught(['A', 'B', 'A', 'B'], { ratio: 1.05, sag: 0.02, own: 1e-3 }));
    expect(other.trendRemoved).toBe(true);
    expect(other.compared.ratio).toBeCloseTo(1.05, 9);
    expect(other.degreesOfFreedom).toBe(1);
  });
});

describe('tip against tip, caught in turn', () => {
  it('has the ± of the textbook: two means and a pooled variance, less one degree of freedom for the drift', () => {
    // Logarithms of A: +1, −1, −1, +1 ‰ times a symmetric pattern that no drift explains; of B: −1, +1, +1, −1.
    const signs = [1, -1, 1, -1, -1, 1, -1, 1];
    const found = compared(caught(orderOfAlternation(4), { ratio: 1.01, noise: (i) => 0.001 * signs[i]! }));
    const level = found.compared;
    // Sum of squares 8e-6 less what drift and difference take, found here by hand with centred times −3.5 … 3.5:
    const times = [-3.5, -2.5, -1.5, -0.5, 0.5, 1.5, 2.5, 3.5];
    const along = signs.reduce((sum, s, i) => sum + 0.001 * s * times[i]!, 0) / 42;
    const isA = [1, 0, 0, 1, 1, 0, 0, 1];
    const difference = signs.reduce((sum, s, i) => sum + 0.001 * s * (isA[i] === 1 ? 0.25 : -0.25), 0);
    const squares = 8e-6 - along ** 2 * 42 - 2 * difference ** 2;
    expect(found.degreesOfFreedom).toBe(5);
    expect(Math.log(level.ratio)).toBeCloseTo(Math.log(1.01) + difference, 12);
    // t(0.975; 5) = 2.571: table of the NIST/SEMATECH e-Handbook 1.3.6.7.2.
    const half = 2.571 * Math.sqrt(squares / 5) * Math.sqrt(2 / 4);
    expect(level.expandedUncertainty95 / level.ratio).toBeCloseTo(Math.expm1(half), 5);
  });

  it('says "no difference larger than" where none is seen, and stands on the claims where repeats agree by luck', () => {
    const found = compared(caught(orderOfAlternation(4), { own: 0.004 }));
    expect(found.compared.verdict).toBe('none-seen');
    // 1.96 · 0.4 % · √(2/4)
    expect(found.compared.largestDifference).toBeCloseTo(1.96 * 0.004 * Math.SQRT1_2, 4);
    const told = compared(caught(orderOfAlternation(4), { ratio: 1.02, own: 0.004 }));
    expect(told.compared.verdict).toBe('different');
  });

  it('brings catches whose pressure was read to one pressure', () => {
    const pressures = [3.0, 2.9, 2.8, 2.7, 2.6, 2.5, 2.4, 2.35].map((bar) => bar * 1e5);
    const catches = orderOfAlternation(4).map((label, i): AlternatedCatch => ({
      label,
      at_s: 40 * i,
      flow_m3_per_s: (label === 'A' ? 1.03 : 1) * 2e-8 * Math.sqrt(pressures[i]!),
      ownStandardUncertainty_m3_per_s: 1e-9,
      pressure_Pa: pressures[i]!,
    }));
    expect(compared(catches).compared.ratio).toBeCloseTo(1.03, 9);
  });

  it('is refused with fewer than two of each, with flows that are none, and where drift and difference are one', () => {
    expect(compareAlternated(caught(['A', 'B', 'A'], {}))).toEqual({ ok: false, because: 'too-few-catches' });
    const none = caught(orderOfAlternation(2), {}).map((one) => ({ ...one, flow_m3_per_s: 0 }));
    expect(compareAlternated(none)).toEqual({ ok: false, because: 'flow-not-positive' });
    const atOnce = caught(['A', 'A', 'B', 'B'], {}).map((one) => ({
      ...one,
      at_s: one.label === 'A' ? 0 : 9,
    }));
    expect(compareAlternated(atOnce)).toEqual({ ok: false, because: 'too-few-catches' });
  });

  it('calls two like tips different in 4 to 6 of 100 (2,000 seeded, A B B A twice, catches of 0.3 %, 3 % sag)', () => {
    let different = 0;
    for (let seed = 0; seed < 2000; seed++) {
      const random = new Random(seed, 'alternated');
      const found = compared(
        caught(orderOfAlternation(4), { sag: 0.03, noise: () => 0.003 * random.normal(), own: 0.001 }),
      );
      if (found.compared.verdict === 'different') different++;
    }
    expect(different / 2000).toBeGreaterThan(0.04);
    expect(different / 2000).toBeLessThan(0.06);
  });
});
