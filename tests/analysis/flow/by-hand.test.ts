import { describe, expect, it } from 'vitest';
import { flowByHand } from '../../../src/analysis/flow/by-hand.ts';

describe('a catch timed by hand', () => {
  it('gives volume over time with the doubt of thumb, reading and pail (arithmetic)', () => {
    const hand = flowByHand({ duration_s: 20, volume_m3: 1e-3, markSpacing_m3: 1e-4 });
    if (!hand.ok) throw new Error(hand.because);
    expect(hand.value.flow_m3_per_s).toBeCloseTo(5e-5, 15);
    expect(hand.value.ownTypeB_m3_per_s / 5e-5).toBeCloseTo(
      Math.hypot(0.1 / 20, 0.025 / Math.sqrt(3) / 1),
      9,
    );
    expect(hand.value.sharedTypeB_m3_per_s / 5e-5).toBeCloseTo(0.02 / Math.sqrt(3), 12);
    expect(hand.value.expandedUncertainty95_m3_per_s / hand.value.standardUncertainty_m3_per_s).toBeCloseTo(
      1.96,
      3,
    );
  });

  // check-values 9.8, computed from Am. J. Phys. 87(2):110 (2019): 10 s 1.0 %, 15 s 0.67 %, 20 s 0.5 %, 30 s 0.33 %, 60 s 0.17 %.
  it.each([
    [10, 0.01],
    [15, 0.0067],
    [20, 0.005],
    [30, 0.0033],
    [60, 0.0017],
  ])('timing a catch of %i s costs %f of the flow', (duration_s, share) => {
    const hand = flowByHand({ duration_s, volume_m3: 1, markSpacing_m3: 1e-9 });
    expect(hand.ok && hand.value.ownTypeB_m3_per_s * duration_s).toBeCloseTo(share, 4);
  });

  it.each([
    [{ duration_s: 0, volume_m3: 1, markSpacing_m3: 1 }, 'time-not-positive'],
    [{ duration_s: -3, volume_m3: 1, markSpacing_m3: 1 }, 'time-not-positive'],
    [{ duration_s: NaN, volume_m3: 1, markSpacing_m3: 1 }, 'time-not-positive'],
    [{ duration_s: 10, volume_m3: 0, markSpacing_m3: 1 }, 'volume-not-positive'],
    [{ duration_s: 10, volume_m3: Infinity, markSpacing_m3: 1 }, 'volume-not-positive'],
    [{ duration_s: 10, volume_m3: 1, markSpacing_m3: 0 }, 'volume-not-positive'],
  ])('is refused for %j', (timing, because) => {
    expect(flowByHand(timing)).toMatchObject({ ok: false, because });
  });
});
