import { describe, expect, it } from 'vitest';
import { checkClock } from '../../../src/analysis/checks/clock-check.ts';
import { checkPressure } from '../../../src/analysis/checks/pressure-check.ts';
import { Random } from '../../../src/simulation/random.ts';

/** A board whose clock runs fast by 0.3 % on a USB line that delays its lines by 1 to 16 ms. */
function board(seconds: number, seed = 1) {
  const random = new Random(seed).stream('late');
  const n = seconds * 10;
  const true_s = Array.from({ length: n }, (_, i) => i / 10);
  let last = 0;
  return {
    device_s: true_s.map((t) => t * 1.003),
    arrival_s: true_s.map((t) => (last = Math.max(last, t + random.uniform(0.001, 0.016)))),
  };
}

describe('a check of the clock', () => {
  it('finds a board that is 0.3 % fast within its ± over a minute (40 seeds)', () => {
    for (let seed = 1; seed <= 40; seed++) {
      const { device_s, arrival_s } = board(63, seed);
      const found = checkClock(device_s, arrival_s);
      if (!found.ok) throw new Error(found.because);
      expect(Math.abs(found.value.ratio - 1 / 1.003)).toBeLessThan(2 * found.value.standardUncertainty);
      expect(found.value.standardUncertainty).toBeLessThan(3e-4);
    }
  });

  it('refuses half a minute, and a scale, which has no clock', () => {
    const { device_s, arrival_s } = board(30);
    expect(checkClock(device_s, arrival_s)).toMatchObject({ because: 'clock-too-short' });
    expect(checkClock([null, null], [0, 1])).toMatchObject({ because: 'device-has-no-clock' });
    expect(checkClock([], [])).toMatchObject({ because: 'device-has-no-clock' });
  });
});

describe('a two-point check of a pressure sensor', () => {
  const usual = {
    openToAir: { mean_Pa: 8_000, standardUncertainty_Pa: 300 },
    atKnown: { mean_Pa: 418_000, standardUncertainty_Pa: 400 },
    known_Pa: 400_000,
    knownStandardUncertainty_Pa: 2_000,
    fullScale_Pa: 1_000_000,
  };

  it('gives zero, gain and what they are worth (arithmetic)', () => {
    const found = checkPressure(usual);
    expect(found).toMatchObject({ ok: true, value: { zero_Pa: 8_000 } });
    if (!found.ok) return;
    expect(found.value.gain).toBeCloseTo(400 / 410, 12);
    expect(found.value.gain * (418_000 - found.value.zero_Pa)).toBeCloseTo(400_000, 6);
    expect(found.value.standardUncertainty_Pa).toBeCloseTo(
      Math.hypot(2_000, (400 / 410) * 400, (400 / 410) * 300),
      9,
    );
  });

  it('refuses a zero that is none, and says how far off', () => {
    expect(checkPressure({ ...usual, openToAir: { ...usual.openToAir, mean_Pa: 120_000 } })).toEqual({
      ok: false,
      because: 'pressure-zero-off',
      facts: { zero_Pa: 120_000, limit_Pa: 50_000 },
    });
  });

  it.each([
    ['pressure-points-too-close', { known_Pa: 100_000 }],
    ['pressure-points-too-close', { known_Pa: 0 }],
    ['pressure-points-too-close', { known_Pa: NaN, fullScale_Pa: 1_000_000 }],
    ['pressure-beyond-sensor', { known_Pa: 1_200_000 }],
    ['pressure-gain-absurd', { known_Pa: 800_000 }],
  ] as const)('refuses: %s with %j', (because, wrong) => {
    const found = checkPressure({ ...usual, ...wrong });
    expect(found.ok).toBe(false);
    if (!Number.isNaN(wrong.known_Pa)) expect(found).toMatchObject({ because });
  });
});
