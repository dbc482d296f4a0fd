import { describe, expect, it } from 'vitest';
import { lowFrequencyVariance } from '../../../src/analysis/flow/low-frequency-variance.ts';
import { isUnsteady, steadiness } from '../../../src/analysis/flow/steadiness.ts';
import { steppedLine, withoutSteps } from '../../../src/analysis/flow/stepped-line.ts';
import { ordinaryLine } from '../../../src/base/statistics/ordinary-line.ts';
import { Random } from '../../../src/simulation/random.ts';

const time_s = Float64Array.from({ length: 200 }, (_, i) => i / 10);
const noisy = (seed: number, at: (t: number) => number, sd_kg = 0.001): Float64Array => {
  const random = new Random(seed);
  return time_s.map((t) => at(t) + sd_kg * random.normal());
};

describe('a line with steps', () => {
  it('is plain least squares where there are none', () => {
    const mass_kg = noisy(1, (t) => 0.5 + 0.02 * t);
    const plain = ordinaryLine(time_s, mass_kg);
    const line = steppedLine(time_s, mass_kg, []);
    expect(line?.slope).toBe(plain?.slope);
    expect(line?.sxx).toBe(plain?.sxx);
    expect(line?.lowFrequency).toEqual(lowFrequencyVariance(time_s, plain?.residuals ?? []));
  });

  it('has the slope of a regression with an intercept for each piece (normal equations solved by hand)', () => {
    const mass_kg = noisy(2, (t) => 0.5 + 0.02 * t + (t > 8 ? 0.3 : 0));
    const line = steppedLine(time_s, mass_kg, [{ at_s: 8.05, size_kg: 0.3 }]);
    // Frisch-Waugh (textbook): regress mass on time after both were regressed on the two indicators.
    const means = (values: Float64Array) => {
      const early = values.filter((_, i) => time_s[i]! <= 8.05);
      const late = values.filter((_, i) => time_s[i]! > 8.05);
      const mean = (v: Float64Array) => v.reduce((a, b) => a + b, 0) / v.length;
      return values.map((value, i) => value - (time_s[i]! <= 8.05 ? mean(early) : mean(late)));
    };
    const [x, y] = [means(time_s), means(mass_kg)];
    const sxx = x.reduce((sum, value) => sum + value * value, 0);
    const slope = x.reduce((sum, value, i) => sum + value * y[i]!, 0) / sxx;
    expect(line?.slope).toBeCloseTo(slope, 12);
    expect(line?.sxx).toBeCloseTo(sxx, 9);
    expect(Math.abs((line?.slope ?? 0) - 0.02)).toBeLessThan(0.0002);
  });

  it('has an honest bar: 95 % of 400 lines with a step (seeds from 500) within t times u, give or take 3', () => {
    const t4 = 3.182; // t(0.975, 3), any table
    let covered = 0;
    for (let seed = 500; seed < 900; seed++) {
      const line = steppedLine(
        time_s,
        noisy(seed, (t) => 0.02 * t + (t > 12 ? 0.1 : 0)),
        [{ at_s: 12.05, size_kg: 0.1 }],
      );
      if (line === null) throw new Error('a line');
      expect(line.lowFrequency.degreesOfFreedom).toBe(3);
      if (Math.abs(line.slope - 0.02) < t4 * Math.sqrt(line.lowFrequency.variance / line.sxx)) covered++;
    }
    expect(covered / 4).toBeGreaterThan(92);
    expect(covered / 4).toBeLessThan(98);
  });

  it('takes the steps off and leaves out what lies around them', () => {
    const mass_kg = noisy(3, (t) => 0.02 * t + (t > 8 ? 0.3 : 0), 0);
    const level = withoutSteps({ time_s, mass_kg }, [{ at_s: 8, size_kg: 0.3 }]);
    expect(level.time_s.every((t) => Math.abs(t - 8) > 0.69)).toBe(true);
    level.mass_kg.forEach((kg, i) => {
      expect(kg).toBeCloseTo(0.02 * level.time_s[i]!, 9);
    });
  });
});

describe('one steady flow', () => {
  const seen = (at: (t: number) => number, seed: number) => {
    const mass_kg = noisy(seed, at);
    const line = ordinaryLine(time_s, mass_kg);
    if (line === null) throw new Error('a line');
    const found = steadiness(time_s, line.residuals, line.slope, []);
    if (found === null) throw new Error('enough readings');
    return { ...found, warned: isUnsteady(found, Math.sqrt(line.residualSumOfSquares / line.n)) };
  };

  it('is told by a ratio near 1, and a bend by its size', () => {
    const straight = seen((t) => 0.02 * t, 4);
    expect(straight.bendRatio).toBeLessThan(6);
    expect(straight.warned).toBe(false);
    const bent = seen((t) => 0.02 * t - 0.002 * Math.max(0, t - 10), 5);
    expect(bent.bend).toBeGreaterThan(0.08);
    expect(bent.bend).toBeLessThan(0.13);
    expect(bent.warned).toBe(true);
  });

  it('is not what swells and ebbs by tens of grams', () => {
    expect(seen((t) => 0.1 * t + 0.03 * Math.sin(2 * t), 6).warned).toBe(true);
  });
});
