import { describe, expect, it } from 'vitest';
import { tQuantile } from '../../../src/base/statistics/distributions.ts';
import { ordinaryLine } from '../../../src/base/statistics/ordinary-line.ts';
import { pulseJitter } from '../../../src/analysis/flow/pulse-jitter.ts';
import { Blades, usualMeter } from '../../../src/simulation/meter-habit.ts';
import { Random } from '../../../src/simulation/random.ts';

function edges(seed: number, hertz: number, seconds: number, habit = usualMeter) {
  const blades = new Blades(habit, new Random(seed));
  const n = Math.floor(hertz * seconds);
  const counted = Array.from({ length: n }, (_, i) => i);
  return { at_s: counted.map((i) => (i + blades.late(i)) / hertz), counted };
}

describe('the doubt of a frequency whose jitter adds up', () => {
  it.each([3.75, 11.25, 125])(
    'covers 92-99 %% of 400 seeded meters at %d Hz over 20 s, unlike blades and all',
    (hertz) => {
      let held = 0;
      for (let seed = 1; seed <= 400; seed++) {
        const { at_s, counted } = edges(seed, hertz, 20);
        const jitter = pulseJitter(at_s, counted)!;
        const error = ordinaryLine(at_s, counted)!.slope / hertz - 1;
        if (Math.abs(error) <= tQuantile(0.975, jitter.degreesOfFreedom) * jitter.relativeStandardUncertainty)
          held++;
      }
      expect(held / 4).toBeGreaterThan(92);
      expect(held / 4).toBeLessThan(99.5);
    },
  );

  it('is nothing for an even meter, and null under eight spacings', () => {
    const even = edges(1, 10, 20, { offset_Hz: 0, blades: 4, bladePattern: 0, jitter: 0 });
    expect(pulseJitter(even.at_s, even.counted)!.relativeStandardUncertainty).toBeLessThan(1e-12);
    expect(pulseJitter([0, 1, 2], [0, 1, 2])).toBeNull();
  });

  it('does not mind readings that hold several pulses', () => {
    const { at_s, counted } = edges(3, 50, 20);
    const every = (_: unknown, i: number) => i % 5 === 0;
    const thin = pulseJitter(at_s.filter(every), counted.filter(every))!;
    const whole = pulseJitter(at_s, counted)!;
    expect(thin.relativeStandardUncertainty / whole.relativeStandardUncertainty).toBeGreaterThan(0.6);
    expect(thin.relativeStandardUncertainty / whole.relativeStandardUncertainty).toBeLessThan(1.7);
  });
});
