import { describe, expect, it } from 'vitest';
import { catchPressure } from '../../../src/analysis/sweep/catch-pressure.ts';
import { Random } from '../../../src/simulation/random.ts';

const time_s = Float64Array.from({ length: 400 }, (_, i) => i / 10);
const column = (of: (t: number) => number) => ({ time_s, pressure_Pa: time_s.map(of) });

describe('the pressure of a catch', () => {
  it('is the mean of its steady part, with the wander about a line and the fall along it', () => {
    const fall = catchPressure(
      column((t) => 300_000 - 1000 * (t - 20)),
      5,
      35,
    )!;
    // Window 6.0-34.7 s, its middle at 20.35 s (arithmetic).
    expect(fall.mean_Pa).toBeCloseTo(299_650, 6);
    expect(fall.wander_Pa).toBeLessThan(1e-6);
    expect(fall.change_Pa).toBeCloseTo(-28_700, 6);
    expect(fall.standardUncertainty_Pa).toBeLessThan(1e-6);
  });

  it('has a ± that holds for noise, and widens for a pump that hunts slowly (300 catches, seed 5)', () => {
    const random = new Random(5);
    const errors = Array.from({ length: 300 }, () => {
      const read = catchPressure(
        column(() => 300_000 + 2000 * random.normal()),
        5,
        35,
      )!;
      return (read.mean_Pa - 300_000) / read.standardUncertainty_Pa!;
    });
    const rms = Math.sqrt(errors.reduce((sum, e) => sum + e * e, 0) / errors.length);
    // A t of 4 degrees of freedom has an rms of √2.
    expect(rms).toBeGreaterThan(1.1);
    expect(rms).toBeLessThan(1.8);
    const white = catchPressure(
      column(() => 300_000 + 2000 * random.normal()),
      5,
      35,
    )!;
    const hunting = catchPressure(
      column((t) => 300_000 + 2000 * Math.sin((2 * Math.PI * t) / 12)),
      5,
      35,
    )!;
    expect(hunting.standardUncertainty_Pa!).toBeGreaterThan(3 * white.standardUncertainty_Pa!);
  });

  it('is none where nothing was read, and a mean without a ± where hardly anything was', () => {
    expect(
      catchPressure(
        column(() => NaN),
        5,
        35,
      ),
    ).toBeNull();
    const three = catchPressure(
      column((t) => (Math.abs(t - 20) < 0.15 ? 1e5 : NaN)),
      5,
      35,
    )!;
    expect(three).toMatchObject({ mean_Pa: 1e5, standardUncertainty_Pa: null, degreesOfFreedom: null });
  });
});
