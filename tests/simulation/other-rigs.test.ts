import { describe, expect, it } from 'vitest';
import { fallingPressure, swelling, courseOf } from '../../src/simulation/flow-course.ts';
import { simulateFills } from '../../src/simulation/fills.ts';
import { Random } from '../../src/simulation/random.ts';
import { rigScenarioNames } from '../../src/simulation/rig-scenarios.ts';
import { scenarioNamed } from '../../src/simulation/scenario.ts';

/** Midpoint sum of the deviation, fine enough for six digits. */
function summed(course: { deviation(t: number): number }, to_s: number): number {
  const step_s = 2e-4;
  let sum = 0;
  for (let i = 0; i < Math.round(to_s / step_s); i += 1) sum += course.deviation((i + 0.5) * step_s) * step_s;
  return sum;
}

describe('the course of a flow', () => {
  const strokes = courseOf(
    {
      kind: 'strokes',
      period_s: [1.5, 1.5],
      swing: [0.2, 0.2],
      volumeJitter: 0.03,
      timeJitter: 0.05,
      paceError: 0,
    },
    new Random(4, 'course'),
    { flow_kg_per_s: 0.02, openLag_s: 0.1, beat_s: 1.5 },
  )!;

  it.each([
    ['a hose that swells', swelling(0.3, 6, 0.15)],
    ['strokes', strokes],
    ['a falling can', fallingPressure(0.02, 0.003, 3e5, 1.2)],
  ])('accumulates what it departs by: %s', (_, course) => {
    for (const t_s of [0.5, 3, 7.7]) expect(course.accumulated_s(t_s)).toBeCloseTo(summed(course, t_s), 3);
    expect(Math.abs(course.deviation(0))).toBeLessThan(0.15);
  });

  it('of a can follows p·Vⁿ = constant (textbook: Boyle for n = 1, adiabatic for 1.4) and the square root of the pressure', () => {
    for (const exponent of [1, 1.4]) {
      const [flow_kg_per_s, air_m3, gauge_Pa] = [0.02, 0.003, 3e5];
      const course = fallingPressure(flow_kg_per_s, air_m3, gauge_Pa, exponent);
      const t_s = 40;
      const out_m3 = (flow_kg_per_s / 1000) * (t_s + course.accumulated_s(t_s));
      const now_Pa = (gauge_Pa + 101325) * (air_m3 / (air_m3 + out_m3)) ** exponent - 101325;
      expect((1 + course.deviation(t_s)) ** 2).toBeCloseTo(now_Pa / gauge_Pa, 6);
    }
  });

  it('of a hose comes up to the steady flow: a third is missing at first, 5 % of it after three time constants', () => {
    const course = swelling(0.3, 5, 0.1);
    expect(1 + course.deviation(1)).toBeCloseTo(1 - 0.3 * Math.exp(-0.2), 3);
    expect(1 + course.deviation(15)).toBeCloseTo(1 - 0.3 * Math.exp(-3), 4);
    expect(course.told(0, 20)).toBe(1);
  });

  it('of strokes tells the mean over the whole ones, which is what came between them', () => {
    expect(strokes.told(1, 40)).toBeCloseTo(1, 1);
    expect(strokes.told(10, 10.2)).toBe(1);
  });
});

describe('the four scenarios of other rigs', () => {
  it.each(rigScenarioNames)('%s is the same for the same seed and reaches its truth', (name) => {
    const first = simulateFills({ scenario: name, seed: 3, fills: 2 });
    expect(simulateFills({ scenario: name, seed: 3, fills: 2 })).toEqual(first);
    for (const fill of first.truth) expect(fill.flow_kg_per_s).toBeGreaterThan(0.003);
  });

  it('with the sprayer on the scale the mass falls by the water', () => {
    const { time_s, mass_kg, truth } = simulateFills({
      scenario: { ...scenarioNamed('tank-pure'), liftAfterChance: 0, leanChance: 0, bumpIdleChance: 0 },
      seed: 2,
      fills: 1,
    });
    const fill = truth[0]!;
    const mean = (from_s: number, to_s: number): number => {
      const inside = [...mass_kg].filter((_, i) => time_s[i]! >= from_s && time_s[i]! <= to_s);
      return inside.reduce((sum, value) => sum + value, 0) / inside.length;
    };
    const lost_kg = mean(0.5, fill.start_s - 0.5) - mean(fill.stop_s + 4, fill.stop_s + 8);
    expect(lost_kg).toBeCloseTo(fill.water_kg, 2);
    expect(mass_kg[0]).toBeGreaterThan(15);
  });
});
