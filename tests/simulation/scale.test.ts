import { describe, expect, it } from 'vitest';
import { Pail } from '../../src/simulation/pail.ts';
import { Random } from '../../src/simulation/random.ts';
import { Scale } from '../../src/simulation/scale.ts';
import { scenarioNamed } from '../../src/simulation/scenario.ts';

const ideal = {
  ...scenarioNamed('clean'),
  whiteNoise_kg: 0,
  jet_kg: [0, 0] as const,
  afterDrip_kg: [0, 0] as const,
};

describe('the simulated scale', () => {
  it('shows the mean of its last readings, so that a ramp comes late by half the filter', () => {
    const scenario = { ...ideal, averagedReadings: 5, step_kg: 1e-7 };
    const pail = new Pail(scenario, new Random(1), 0.5);
    pail.openValve(1, 0.02);
    const scale = new Scale(scenario, new Random(1), pail);
    for (const sample of scale.advanceTo(20)) {
      if (sample.time_s < 5) continue;
      expect(sample.mass_kg).toBeCloseTo(0.5 + pail.water_kg(sample.time_s - 0.2), 6);
    }
  });

  it('rounds to its step, nearest', () => {
    const scenario = { ...ideal, step_kg: 0.005 };
    const pail = new Pail(scenario, new Random(1), 0.5);
    pail.openValve(1, 0.02);
    const samples = new Scale(scenario, new Random(1), pail).advanceTo(20);
    for (const sample of samples)
      expect(Math.abs(sample.mass_kg - 0.5 - pail.water_kg(sample.time_s))).toBeLessThan(0.0025 + 1e-9);
    expect(new Set(samples.map((sample) => sample.mass_kg)).size).toBeGreaterThan(50);
  });

  it('gives the same samples however time is cut', () => {
    const run = (step_s: number): unknown => {
      const pail = new Pail(scenarioNamed('worst'), new Random(4).stream('pail'), 0.6);
      const scale = new Scale(scenarioNamed('worst'), new Random(4), pail);
      const samples = [...scale.advanceTo(3)];
      pail.openValve(3, 0.02);
      for (let t_s = 3; t_s <= 23; t_s += step_s) samples.push(...scale.advanceTo(t_s));
      samples.push(...scale.advanceTo(23));
      return samples;
    };
    expect(run(0.01)).toEqual(run(20));
  });

  it('keeps the water when the pail is put back full, forgets it when emptied, and catches none while it is away', () => {
    const pail = new Pail(ideal, new Random(2), 0.5);
    pail.openValve(0, 0.03);
    pail.closeValve(10);
    pail.lift(15);
    const before_kg = pail.water_kg(15);
    expect(pail.load_kg(17)).toBe(0);
    pail.openValve(17, 0.03);
    pail.closeValve(18);
    pail.putBack(25, false);
    expect(pail.water_kg(30)).toBeCloseTo(before_kg, 9);
    expect(pail.passed_kg(30)).toBeGreaterThan(before_kg + 0.02);
    pail.lift(31);
    pail.putBack(40, true);
    expect(pail.water_kg(41)).toBeLessThan(0.0201);
    expect(pail.load_kg(45)).toBeCloseTo(0.5 + pail.water_kg(45), 6);
  });

  it('follows a pressure that is changed while spraying', () => {
    const pail = new Pail(ideal, new Random(2), 0.5);
    pail.openValve(0, 0.02);
    pail.changeFlow(10, 0.03, 0.3);
    pail.changeFlow(20, 0.01, 0.3);
    const rate = (t_s: number): number => pail.water_kg(t_s + 1) - pail.water_kg(t_s);
    expect(rate(5)).toBeCloseTo(0.02, 6);
    expect(rate(17)).toBeCloseTo(0.03, 6);
    expect(rate(27)).toBeCloseTo(0.01, 6);
    pail.closeValve(30);
    expect(rate(35)).toBeCloseTo(0, 6);
  });

  it('can have a display that freezes while water runs', () => {
    const scenario = { ...ideal, habit: 'freezes' } as const;
    const pail = new Pail(scenario, new Random(1), 0.5);
    pail.openValve(1, 0.02);
    const shown = new Scale(scenario, new Random(1), pail).advanceTo(60).filter(({ time_s }) => time_s > 2);
    let run = 1;
    let longest = 1;
    shown.forEach(({ mass_kg }, i) => {
      run = mass_kg === shown[i - 1]?.mass_kg ? run + 1 : 1;
      longest = Math.max(longest, run);
    });
    expect(longest).toBeGreaterThan(9);
    expect(longest).toBeLessThan(33);
    expect(shown.at(-1)?.mass_kg).toBeGreaterThan(1.5);
  });

  it('can have a zero that swallows a slow drip and still weighs a pour', () => {
    const scenario = { ...ideal, step_kg: 0.001, dribble_kg_per_s: [0.0002, 0.0002] as const };
    const rise = (habit?: 'tracks-zero'): { drip_kg: number; pour_kg: number } => {
      const own = habit === undefined ? scenario : { ...scenario, habit };
      const pail = new Pail(own, new Random(1), 0.5);
      const scale = new Scale(own, new Random(1), pail);
      const at = (t_s: number): number => scale.advanceTo(t_s).at(-1)?.mass_kg ?? NaN;
      const empty_kg = at(5);
      pail.openValve(5, 0.02);
      scale.advanceTo(25);
      pail.closeValve(25);
      const full_kg = at(30);
      return { pour_kg: full_kg - empty_kg, drip_kg: at(130) - full_kg };
    };
    expect(rise().drip_kg).toBeCloseTo(0.02, 3);
    expect(Math.abs(rise('tracks-zero').drip_kg)).toBeLessThan(0.002);
    expect(rise('tracks-zero').pour_kg).toBeGreaterThan(0.395);
  });
});
