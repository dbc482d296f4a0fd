import { describe, expect, it } from 'vitest';
import { checkMeter, type MeterPoint } from '../../src/analysis/checks/meter-check.ts';
import { Blades, idealMeter, usualMeter } from '../../src/simulation/meter-habit.ts';
import { Random } from '../../src/simulation/random.ts';
import { simulateCapture } from '../../src/simulation/simulated-capture.ts';
import { analysed } from '../analysis/sweep/analysed.ts';

const settings_Pa = [0.5, 1, 2, 3, 4].map((bar) => bar * 1e5);

function pointsOf(meterHabit: typeof usualMeter | undefined, seed: number): readonly MeterPoint[] {
  const text = simulateCapture({
    scenario: 'clean',
    seed,
    fills: 10,
    instrument: {
      kind: 'bench-board',
      meterPulsesPerCubicMetre: 450_000,
      ...(meterHabit && { meterHabit }),
    },
    sweep: { settings_Pa },
  });
  return analysed(text).meterPoints;
}

describe('a simulated meter', () => {
  it('is ideal unless told otherwise: a straight line through nothing', () => {
    const found = checkMeter(pointsOf(undefined, 21), 0);
    if (!found.ok) throw new Error(found.because);
    expect(found.value.pulsesPerCubicMetre / 450_000).toBeCloseTo(1, 2);
    expect(Math.abs(found.value.offset_Hz!)).toBeLessThan(0.02);
    expect(new Blades(idealMeter, new Random(1)).late(17)).toBe(0);
  });

  it('has an offset, unlike blades and jitter where told so, and the check finds the two parameters', () => {
    const found = checkMeter(pointsOf(usualMeter, 21), 0);
    if (!found.ok) throw new Error(found.because);
    expect(Math.abs(found.value.pulsesPerCubicMetre / 450_000 - 1)).toBeLessThan(0.005);
    expect(Math.abs(found.value.offset_Hz! - 1)).toBeLessThan(0.05);
  });

  it('repeats its blades every turn', () => {
    const blades = new Blades({ ...usualMeter, jitter: 0 }, new Random(5));
    expect(blades.late(3)).toBe(blades.late(7));
    expect(blades.late(3)).not.toBe(blades.late(4));
  });
});
