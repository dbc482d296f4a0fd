import { describe, expect, it } from 'vitest';
import { quietLevel } from '../../../src/analysis/checks/quiet-level.ts';
import { idle, levelOf } from './levels.ts';

const usual = { step_kg: 1e-3, averagedReadings: 4, expected_kg: 2 };

describe('ten idle seconds', () => {
  it('give a level whose two standard uncertainties hold the truth in 95 of 100 seeded scales or more', () => {
    let held = 0;
    for (let seed = 1; seed <= 200; seed++) {
      const level_kg = 0.7 + seed * 1.2345e-4;
      const level = levelOf({ level_kg, seed });
      if (Math.abs(level.mean_kg - level_kg) <= 2 * level.standardUncertainty_kg) held++;
    }
    expect(held).toBeGreaterThanOrEqual(190);
  });

  it('are worth step/√12 at least, however still the display stands', () => {
    const level = levelOf({ level_kg: 1.0004, noise_kg: 0 });
    expect(level.identical).toBe(true);
    expect(level.standardUncertainty_kg).toBeCloseTo(1e-3 / Math.sqrt(12), 12);
  });

  it('count a slow creep as doubt about the level', () => {
    const still = levelOf({ level_kg: 2, noise_kg: 0, step_kg: 0 });
    const creeping = levelOf({ level_kg: 2, noise_kg: 0, step_kg: 0, drift_kg: 1e-3 }, 20);
    expect(still.standardUncertainty_kg).toBe(0);
    expect(creeping.standardUncertainty_kg).toBeGreaterThan(1e-3 / Math.sqrt(12));
  });

  it('are refused in wind with memory, and never for white noise and steps alone (100 seeds each)', () => {
    let windy = 0;
    let calm = 0;
    for (let seed = 1; seed <= 100; seed++) {
      const gusty = idle({ level_kg: 2, seed, wind: [6e-3, 5] });
      if (!quietLevel(gusty.time_s, gusty.mass_kg, 0, usual).ok) windy++;
      const still = idle({ level_kg: 2, seed, noise_kg: 2e-3 });
      if (!quietLevel(still.time_s, still.mass_kg, 0, usual).ok) calm++;
    }
    expect(windy).toBeGreaterThanOrEqual(90);
    expect(calm).toBe(0);
  });

  it('are refused with what wandered and what was allowed', () => {
    const gusty = idle({ level_kg: 2, wind: [50e-3, 5] });
    expect(quietLevel(gusty.time_s, gusty.mass_kg, 0, usual)).toMatchObject({
      ok: false,
      because: 'wind-or-touch',
      facts: { wander_kg: expect.any(Number) as number, limit_kg: expect.any(Number) as number },
    });
  });

  it('need readings in every two seconds of them', () => {
    const { time_s, mass_kg } = idle({ level_kg: 2 });
    const holed = mass_kg.map((m, i) => (i > 30 && i < 60 ? NaN : m));
    expect(quietLevel(time_s, holed, 0, usual)).toMatchObject({ because: 'not-enough-readings' });
    expect(quietLevel([], [], 0, usual)).toMatchObject({ because: 'not-enough-readings' });
  });
});
