import { describe, expect, it } from 'vitest';
import { Pour, type PourMakeup } from '../../src/simulation/pour.ts';

const makeup: PourMakeup = {
  start_s: 2,
  flow_kg_per_s: 0.025,
  sag_per_s: -0.004,
  openLag_s: 0.15,
  closeLag_s: 0.2,
  afterDrip_kg: 0.004,
  afterDripMemory_s: 0.7,
  dribble_kg_per_s: 0.0002,
};

/** Midpoint sum of the flow, fine enough for six digits; borders fall on borders of the sum. */
function summed_kg(pour: Pour, to_s: number): number {
  const step_s = 1e-3;
  let sum = 0;
  for (let i = 0; i < Math.round(to_s / step_s); i += 1)
    sum += pour.flow_kg_per_s((i + 0.5) * step_s) * step_s;
  return sum;
}

describe('the water of one opening of the valve', () => {
  it('is the integral of its flow while open, while closing and after', () => {
    const pour = new Pour(makeup);
    pour.close(12);
    pour.endDribble(18);
    for (const t_s of [2, 2.1, 5, 12, 12.2, 13, 18, 25])
      expect(Math.abs(pour.delivered_kg(t_s) - summed_kg(pour, t_s))).toBeLessThan(2e-8);
    expect(pour.delivered_kg(25)).toBeGreaterThan(0.24);
  });

  it('is the integral too when the valve closes before it was fully open', () => {
    const pour = new Pour({ ...makeup, openLag_s: 1 });
    pour.close(2.5);
    pour.endDribble(2.5);
    expect(Math.abs(pour.delivered_kg(10) - summed_kg(pour, 10))).toBeLessThan(2e-8);
  });

  it('gives the plain arithmetic for an ideal valve', () => {
    const pour = new Pour({
      ...makeup,
      sag_per_s: 0,
      openLag_s: 1e-9,
      closeLag_s: 1e-9,
      afterDrip_kg: 0,
      dribble_kg_per_s: 0,
    });
    pour.close(22);
    expect(pour.delivered_kg(30)).toBeCloseTo(0.5, 9);
  });

  it('is over some time after the dribble ends, and never before', () => {
    const pour = new Pour(makeup);
    pour.close(12);
    expect(pour.finished(1e6)).toBe(false);
    pour.endDribble(40);
    expect(pour.finished(39)).toBe(false);
    expect(pour.finished(60)).toBe(true);
  });
});
