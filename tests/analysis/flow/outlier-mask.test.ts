import { describe, expect, it } from 'vitest';
import { outlierMask } from '../../../src/analysis/flow/outlier-mask.ts';
import { Random } from '../../../src/simulation/random.ts';

const time_s = Array.from({ length: 300 }, (_, i) => i / 10);
function line(seed: number): number[] {
  const random = new Random(seed);
  return time_s.map((t) => 5 + 0.025 * t + 0.001 * random.normal());
}
const masked = (keep: Uint8Array): number[] => [...keep].flatMap((k, i) => (k === 0 ? [i] : []));

describe('the outlier mask', () => {
  it('takes a bump of half a second out with 0.4 s to each side, and nothing else', () => {
    const mass_kg = line(1).map((m, i) => (i >= 100 && i <= 105 ? m + 0.05 : m));
    const { keep } = outlierMask(time_s, mass_kg);
    expect(masked(keep)).toEqual(Array.from({ length: 14 }, (_, i) => 96 + i));
  });

  it('counts what it took out once where two bumps overlap', () => {
    const mass_kg = line(2).map((m, i) => (i === 100 || i === 103 ? m - 0.03 : m));
    const mask = outlierMask(time_s, mass_kg);
    expect(mask.masked).toBe(12);
    expect(masked(mask.keep)).toHaveLength(12);
  });

  it('takes nothing out of plain noise in 19 of 20 seeded records', () => {
    const spoiled = Array.from(
      { length: 100 },
      (_, seed) => outlierMask(time_s, line(100 + seed)).masked > 0,
    );
    expect(spoiled.filter(Boolean).length).toBeLessThanOrEqual(5);
  });

  it('takes nothing out when more than 40 % would go, and says so', () => {
    const mass_kg = line(3).map((m, i) => (i % 20 === 0 ? m + 0.05 : m));
    const mask = outlierMask(time_s, mass_kg);
    expect(mask).toMatchObject({ masked: 0, gaveUp: true });
    expect(masked(mask.keep)).toEqual([]);
  });

  it('leaves a line without noise alone', () => {
    expect(
      outlierMask(
        time_s,
        time_s.map((t) => 7 + t / 3),
      ).masked,
    ).toBe(0);
  });
});
