import { describe, expect, it } from 'vitest';
import {
  compareWays,
  type CaughtOneWay,
  type OneWay,
} from '../../../src/analysis/comparison/compare-ways.ts';
import { Random } from '../../../src/simulation/random.ts';

const caught = (setting_Pa: number, flow: number, own = 0.001): CaughtOneWay => ({
  setting_Pa,
  flow_m3_per_s: flow * 1e-5,
  ownStandardUncertainty_m3_per_s: own * flow * 1e-5,
  ownDegreesOfFreedom: 5,
});
const side = (way: OneWay['way'], catches: readonly CaughtOneWay[], sharedRelative = 0): OneWay => ({
  way,
  catches,
  sharedRelative,
  settingStandardUncertainty_Pa: 0,
});

describe('water that leaves the sprayer and does not reach the pail', () => {
  it('is the share that is missing, whichever sweep is named first', () => {
    const left = side('sprayer', [caught(2e5, 2), caught(2e5, 2.002), caught(3e5, 2.5), caught(3e5, 2.498)]);
    const pail = side('pail', [
      caught(2e5, 1.94),
      caught(2e5, 1.942),
      caught(3e5, 2.425),
      caught(3e5, 2.424),
    ]);
    const found = compareWays(left, pail);
    if (!found.ok) throw new Error(found.because);
    expect(found.value.lostShare).toBeCloseTo(0.03, 3);
    expect(found.value.verdict).toBe('leak-or-mist');
    expect(found.value.settings.map((one) => one.setting_Pa)).toEqual([2e5, 3e5]);
    expect(compareWays(pail, left)).toEqual(found);
  });

  it('has the textbook ± of two means with a pooled variance', () => {
    // Two groups of three with relative deviations −1, 0, 1 %: pooled sd 1 % on 4 degrees of freedom, t = 2.776 (printed table),
    // u = 1 % · √(1/3 + 1/3) (NIST/SEMATECH e-Handbook 7.3.1).
    const three = (flow: number) => [0.99, 1, 1.01].map((share) => caught(2e5, flow * share, 1e-6));
    const found = compareWays(side('sprayer', three(2)), side('pail', three(2)));
    if (!found.ok) throw new Error(found.because);
    expect(found.value.lostShare).toBeCloseTo(0, 12);
    expect(found.value.degreesOfFreedom).toBeCloseTo(4, 9);
    expect(found.value.lostShareExpanded95).toBeCloseTo(2.776 * 0.01 * Math.sqrt(2 / 3), 5);
    expect(found.value.verdict).toBe('none-seen');
  });

  it('adds once what each sweep shares within itself', () => {
    const found = compareWays(side('meter', [caught(2e5, 2)], 0.003), side('pail', [caught(2e5, 2)], 0.004));
    const bare = compareWays(side('meter', [caught(2e5, 2)]), side('pail', [caught(2e5, 2)]));
    if (!found.ok || !bare.ok) throw new Error('refused');
    // Arithmetic: 0.5 % shared, 0.14 % own.
    expect(found.value.lostShareExpanded95).toBeGreaterThan(1.96 * 0.005);
    expect(bare.value.lostShareExpanded95).toBeLessThan(0.005);
  });

  it('says when more arrives than leaves', () => {
    const found = compareWays(side('sprayer', [caught(2e5, 2)]), side('pail', [caught(2e5, 2.1)]));
    expect(found.ok && found.value.verdict).toBe('more-arrives');
  });

  it('is refused without a common setting, and between two sweeps made the same way', () => {
    const refusal = { ok: false, because: 'sweeps-not-alike' };
    expect(compareWays(side('sprayer', [caught(2e5, 2)]), side('pail', [caught(3e5, 2)]))).toMatchObject(
      refusal,
    );
    expect(compareWays(side('pail', [caught(2e5, 2)]), side('pail', [caught(2e5, 2)]))).toMatchObject(
      refusal,
    );
    expect(compareWays(side('sprayer', [caught(2e5, 2)]), side('meter', [caught(2e5, 2)]))).toMatchObject(
      refusal,
    );
  });

  it('is called a leak in no more than one healthy sprayer of twenty (800 seeded, 3 + 3 catches, dial 1 %)', () => {
    let called = 0;
    for (let seed = 0; seed < 800; seed++) {
      const random = new Random(seed, 'ways');
      const three = () => [1, 2, 3].map(() => caught(2e5, 2 * (1 + 0.01 * random.normal()), 0.001));
      const found = compareWays(side('sprayer', three()), side('pail', three()));
      if (found.ok && found.value.verdict !== 'none-seen') called++;
    }
    expect(called / 800).toBeLessThan(0.07);
    expect(called / 800).toBeGreaterThan(0.02);
  });
});
