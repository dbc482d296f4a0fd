import { describe, expect, it } from 'vitest';
import { findPlateaus } from '../../../src/analysis/sweep/plateaus.ts';
import { Random } from '../../../src/simulation/random.ts';
import { analysed, scaleCapture } from './analysed.ts';
import { shapeFaults } from './documented-shape.ts';

const PSI = 6894.757293168;
const settings = [20, 30, 40, 50, 60];
const flows = settings.map((psi) => 25 * Math.sqrt(psi / 40));

/** Water in g since the start of five plateaus of `each_s`, the dial turned evenly over 2 s in between. */
function water(t: number, each_s: number): number {
  let grams = 0;
  for (let at = 0; at < t; at += 0.05) {
    const k = Math.min(flows.length - 1, Math.floor(at / (each_s + 2)));
    const into_s = at - k * (each_s + 2);
    const next = flows[Math.min(k + 1, flows.length - 1)]!;
    const flow = into_s <= each_s ? flows[k]! : flows[k]! + ((next - flows[k]!) * (into_s - each_s)) / 2;
    grams += flow * Math.min(0.05, t - at);
  }
  return grams;
}

function onePour(plan_psi: readonly number[], each_s: number, seed: number): string {
  const all_s = 5 * each_s + 8;
  return scaleCapture({
    pours: [],
    extra: (t) => (t < 10 ? 0 : water(Math.min(t - 10, all_s), each_s) + (t < 10 + all_s ? 6 : 0)),
    marks: [[4, `plan one-pour ${plan_psi.map((psi) => psi * PSI).join(' ')}`]],
    until_s: 10 + all_s + 12,
    seed,
  });
}

describe('one pour with several settings', () => {
  it('is cut into its five plateaus of 15 s in each of ten seeded pours, with the plan’s settings and flows within 0.5 %', () => {
    for (let seed = 1; seed <= 10; seed++) {
      const { analysis } = analysed(onePour(settings, 15, seed));
      expect(analysis.catches.map((c) => c.setting_Pa! / PSI)).toEqual(settings);
      expect(analysis.catches.map((c) => c.pour)).toEqual([1, 1, 1, 1, 1]);
      analysis.catches.forEach((c, i) => {
        expect(Math.abs((c.massFlow_kg_per_s! * 1000) / flows[i]! - 1)).toBeLessThan(0.005);
        expect(c).toMatchObject({ mass_kg: null, massBecause: 'plateau-of-a-pour', voidBecause: null });
      });
      expect(analysis.curve?.used).toEqual([0, 1, 2, 3, 4]);
      expect(shapeFaults(analysis)).toEqual([]);
    }
  }, 30_000);

  it('assigns no setting when there are more or fewer plateaus than the plan has', () => {
    const { analysis } = analysed(onePour([20, 30, 40, 50], 15, 3));
    expect(analysis.catches).toHaveLength(5);
    for (const c of analysis.catches) {
      expect(c).toMatchObject({ setting_Pa: null, settingBecause: 'plateaus-do-not-match-plan' });
    }
    expect(analysis.curveBecause).toBe('no-settings');
    expect(shapeFaults(analysis)).toEqual([]);
  });

  it('does not cut a steady pour, in 50 seeded ones with a hand that wanders', () => {
    let cut = 0;
    for (let seed = 1; seed <= 50; seed++) {
      const random = new Random(seed);
      let wander = 0;
      const time_s = Float64Array.from({ length: 400 }, (_, i) => i / 10);
      const mass_kg = time_s.map((t) => {
        wander = 0.87 * wander + 0.00025 * random.normal();
        return 1 + 0.025 * t + wander + 0.0005 * random.normal();
      });
      if (findPlateaus(time_s, mass_kg, 400, 0, 40).length !== 1) cut++;
    }
    expect(cut).toBeLessThanOrEqual(1);
  });

  it('finds nothing in nothing', () => {
    expect(findPlateaus([], [], 0, 0, 10)).toEqual([]);
  });
});
