import { describe, expect, it } from 'vitest';
import { findSteps, likeliestRise_kg, steppedBy_kg } from '../../../src/signal/catches/find-steps.ts';
import { simulateFills } from '../../../src/simulation/fills.ts';
import type { ScenarioName } from '../../../src/simulation/scenario.ts';
import { trace, type Stretch } from '../../builders/trace.ts';

function stepsIn(stretches: readonly Stretch[], step_g = 1) {
  const points = trace(stretches, { noise_g: 0.5, step_g });
  const times = points.map((point) => point.time_s);
  const masses = points.map((point) => point.mass_kg ?? 0);
  return findSteps(times, masses, 0, times.length, step_g / 1000);
}

const water = (lasts_s: number): Stretch => ({ pour_g_per_s: 20, lasts_s });
const jump = (to_g: number): Stretch => ({ to_g, within_s: 0.3 });

describe('steps in a line', () => {
  it('are found with their place and size', () => {
    const [step, ...more] = stepsIn([water(10), jump(806), water(12)]);
    expect(more).toEqual([]);
    expect(Math.abs((step?.at_s ?? 0) - 10.15)).toBeLessThan(0.3);
    expect(Math.abs((step?.size_kg ?? 0) - 0.1)).toBeLessThan(0.004);
  });

  it('are found both when the wand comes and goes', () => {
    const steps = stepsIn([water(8), jump(766), water(8), jump(832), water(8)]);
    expect(steps.map((step) => Math.round(step.size_kg * 100))).toEqual([10, -10]);
    expect(Math.abs(steppedBy_kg(steps, 30))).toBeLessThan(0.006);
    expect(steppedBy_kg(steps, 12)).toBeCloseTo(0.1, 2);
  });

  it.each<[string, Stretch[]]>([
    ['a plain rise', [water(22)]],
    ['a knock of a second', [water(10), jump(850), { to_g: 712, within_s: 0.3 }, water(10)]],
    ['a flow that changes', [water(10), { pour_g_per_s: 26, lasts_s: 10 }]],
    [
      'a display that stood still and caught up',
      [water(10), { flat_s: 2 }, { to_g: 742, within_s: 0.1 }, water(10)],
    ],
    ['too few readings', [water(2), jump(700), water(2)]],
  ])('are not %s', (_, stretches) => {
    expect(stepsIn(stretches)).toEqual([]);
  });

  it.each<[ScenarioName, number]>([
    ['typical', 60],
    ['rough', 60],
    ['worst', 60],
  ])('are not invented: %s, %i fills (seeds from 320000)', (scenario, fills) => {
    for (let seed = 320_000; seed < 320_000 + fills / 20; seed++) {
      const { time_s, mass_kg, truth, scenario: made } = simulateFills({ scenario, seed, fills: 20 });
      for (const fill of truth) {
        const from = time_s.findIndex((t) => t > fill.start_s + 1.3);
        const to = time_s.findIndex((t) => t > fill.stop_s - 0.3);
        expect(findSteps(time_s, mass_kg, from, to, made.step_kg)).toEqual([]);
      }
    }
  });

  it('tell the water from the weight, whichever way the level was seen', () => {
    const steps = [{ at_s: 10, size_kg: 0.1 }];
    expect(likeliestRise_kg(0.6, steps, 0.49)).toBeCloseTo(0.5, 9);
    expect(likeliestRise_kg(0.5, steps, 0.49)).toBe(0.5);
    expect(likeliestRise_kg(0.5, [], 0.7)).toBe(0.5);
  });
});
