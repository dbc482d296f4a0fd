import { describe, expect, it } from 'vitest';
import { dripRate } from '../../../src/analysis/checks/drip-rate.ts';
import { flowStop } from '../../../src/analysis/checks/flow-stop.ts';
import { seededGaussian } from '../curve/seeded-gaussian.ts';

/** A minute of a pail under an even drip, readings ten a second, shown to `step_kg`. */
function dripping(kg_per_s: number, noise_kg: number, step_kg: number, seed: number) {
  const gaussian = seededGaussian(seed);
  const time_s = Array.from({ length: 600 }, (_, i) => 100 + i / 10);
  const mass_kg = time_s.map((t) => {
    const level = 1.234 + kg_per_s * (t - 100) + noise_kg * gaussian();
    return step_kg === 0 ? level : Math.round(level / step_kg) * step_kg;
  });
  return { time_s, mass_kg };
}

describe('the rate of a drip', () => {
  it('covers what drips in about 95 of 100', () => {
    let inside = 0;
    for (let seed = 1; seed <= 400; seed += 1) {
      const { time_s, mass_kg } = dripping(5e-5, 1e-3, 0, seed);
      const found = dripRate(time_s, mass_kg, 0);
      if (!found.ok) throw new Error(found.because);
      // t of 6 degrees of freedom, 95 %: 2.447 (the usual tables, NIST/SEMATECH 1.3.6.7.2).
      const half = 2.447 * found.value.standardUncertainty_m3_per_s;
      if (Math.abs(found.value.leak_m3_per_s - 5e-5 / 998) < half) inside += 1;
    }
    // Of 400: 95 % is 380, its standard deviation 4.4.
    expect(inside).toBeGreaterThan(362);
    expect(inside).toBeLessThan(396);
  });

  it('is no surer than the steps of a quiet display allow', () => {
    const { time_s, mass_kg } = dripping(2e-5, 0, 1e-3, 3);
    const found = dripRate(time_s, mass_kg, 1e-3);
    if (!found.ok) throw new Error(found.because);
    const u = found.value.standardUncertainty_m3_per_s * 998;
    expect(u).toBeGreaterThanOrEqual(1e-3 / 59.9 / Math.sqrt(6));
    expect(Math.abs(found.value.leak_m3_per_s * 998 - 2e-5)).toBeLessThan(3 * u);
  });

  it('leaves a knock out', () => {
    const { time_s, mass_kg } = dripping(5e-5, 5e-4, 0, 7);
    const knocked = mass_kg.map((kg, i) => (i > 500 && i < 510 ? kg + 0.2 : kg));
    const found = dripRate(time_s, knocked, 0);
    if (!found.ok) throw new Error(found.because);
    expect(Math.abs(found.value.leak_m3_per_s * 998 - 5e-5)).toBeLessThan(1e-5);
  });

  it('says that every reading was the same, and takes no drip from half a minute', () => {
    const still = dripping(0, 0, 1e-3, 1);
    expect(dripRate(still.time_s, still.mass_kg, 1e-3)).toMatchObject({
      ok: true,
      value: { identical: true },
    });
    const short = dripping(5e-5, 1e-3, 0, 1);
    const refusal = dripRate(short.time_s.slice(0, 250), short.mass_kg.slice(0, 250), 0);
    expect(refusal).toMatchObject({ ok: false, because: 'not-enough-readings' });
    expect(dripRate([], [], 0)).toMatchObject({ ok: false });
  });
});

describe('where the flow stopped', () => {
  it('lies in the middle, and is worth half the distance over the root of three (JCGM 100, 4.3.7)', () => {
    expect(flowStop(10, 8, 0)).toEqual({ shown_Pa: 9, standardUncertainty_Pa: 1 / Math.sqrt(3) });
    expect(flowStop(6, 0, 4).shown_Pa).toBe(3);
    expect(flowStop(6, 0, 4).standardUncertainty_Pa).toBeCloseTo(Math.hypot(Math.sqrt(3), 4), 12);
  });
});
