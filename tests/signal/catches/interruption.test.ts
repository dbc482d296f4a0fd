import { describe, expect, it } from 'vitest';
import { judgeInterruption, type Interruption } from '../../../src/signal/catches/interruption.ts';
import { Watch } from '../../../src/signal/catches/watch.ts';
import { trace, type Stretch } from '../../builders/trace.ts';

/** A pour of 20 g/s from second 5 that looks interrupted after ten seconds and runs for two seconds after. */
function judged(between: readonly Stretch[], lasts_s: number): Interruption {
  const watch = new Watch(0.001);
  const points = trace([
    { flat_s: 5 },
    { pour_g_per_s: 20, lasts_s: 10 },
    ...between,
    { pour_g_per_s: 20, lasts_s: 2 },
  ]);
  for (const { time_s, mass_kg } of points) if (mass_kg !== null) watch.push(time_s, mass_kg);
  const told = judgeInterruption(watch, 8.5, 15.3, 17 + lasts_s - 0.05, null);
  if (told === null) throw new Error('enough readings for a verdict');
  return told;
}

describe('a stretch without rise', () => {
  it('is told as an interruption when the level stood still, with its edges and its level', () => {
    const told = judged([{ flat_s: 3 }], 3);
    expect(told.evidence).toBeGreaterThan(110);
    expect(Math.abs(told.stop_s - 15)).toBeLessThan(0.25);
    expect(Math.abs(told.restart_s - 18)).toBeLessThan(0.25);
    expect(told.level_kg).toBeCloseTo(0.7, 2);
    expect(told.missing_s).toBeCloseTo(3, 0);
  });

  it('is told as a knock when the level is back on the old line', () => {
    const told = judged(
      [
        { to_g: 850, within_s: 0.4 },
        { to_g: 716, within_s: 0.4 },
      ],
      0.8,
    );
    expect(told.evidence).toBeLessThan(30);
    expect(Math.abs(told.missing_s)).toBeLessThan(0.2);
    expect(told.commonFlow_kg_per_s).toBeCloseTo(0.02, 3);
  });

  it('is not judged on a handful of readings', () => {
    expect(judgeInterruption(new Watch(0.001), 0, 1, 2, null)).toBeNull();
  });
});
