import { describe, expect, it } from 'vitest';
import { sagOf, type Sag, type SagSeenBy } from '../../../src/analysis/checks/sag.ts';
import { PSI_PA } from '../../../src/base/units/constants.ts';
import { Random } from '../../../src/simulation/random.ts';

const caught = (flow: number, own = 0.001) => ({
  flow_m3_per_s: flow * 1e-5,
  ownStandardUncertainty_m3_per_s: own * flow * 1e-5,
});
function sag(seen: SagSeenBy): Sag {
  const found = sagOf(seen);
  if (!found.ok) throw new Error(found.because);
  return found.value;
}

describe('has the pump faded', () => {
  it('is one minus last over first, with the ± of both catches', () => {
    const found = sag({ by: 'flow', first: [caught(2)], last: [caught(1.94)], dial: 'untouched' });
    expect(found.lost).toBeCloseTo(0.03, 12);
    expect(found.lostFlow).toBe(found.lost);
    // 1.96·√2·0.1 % of 0.97: arithmetic.
    expect(found.expandedUncertainty95).toBeCloseTo(0.97 * 1.96 * Math.SQRT2 * 0.001, 6);
    expect(found.verdict).toBe('sags');
    expect(found.throughDial).toBe(false);
  });

  it('says the smallest sag it would have seen, and that a knob set anew hides 5 % (measurement 11.11)', () => {
    const through = { setting_Pa: 40 * PSI_PA, settingStandardUncertainty_Pa: 1.5 * PSI_PA };
    const found = sag({ by: 'flow', first: [caught(2)], last: [caught(1.94)], dial: through });
    expect(found.verdict).toBe('none-seen');
    expect(found.throughDial).toBe(true);
    expect(found.smallestSeen).toBeGreaterThan(0.049);
    expect(found.smallestSeen).toBeLessThan(0.054);
    const still = sag({ by: 'flow', first: [caught(2)], last: [caught(2)], dial: 'untouched' });
    expect(still.smallestSeen).toBeCloseTo(0.00277, 4);
  });

  it('has the t of its repeats: two catches before and two after (t(2) = 4.303, NIST/SEMATECH e-Handbook 1.3.6.7.2)', () => {
    const two = (flow: number) => [caught(flow * 0.995, 1e-6), caught(flow * 1.005, 1e-6)];
    const found = sag({ by: 'flow', first: two(2), last: two(2), dial: 'untouched' });
    expect(found.degreesOfFreedom).toBeCloseTo(2, 6);
    // Pooled sd √(2·2·0.005²/2) = 0.707 %; of a mean of two 0.5 %; of the difference 0.707 %.
    expect(found.expandedUncertainty95).toBeCloseTo(4.303 * 0.005 * Math.SQRT2, 5);
  });

  it('reads a sensor’s pressure as flow by the root, and leaves volts volts', () => {
    const pressure = sag({ by: 'pressure', first_Pa: 3e5, last_Pa: 2.7e5, standardUncertainty_Pa: 1000 });
    expect(pressure.lost).toBeCloseTo(0.1, 12);
    expect(pressure.lostFlow).toBeCloseTo(1 - Math.sqrt(0.9), 12);
    expect(pressure.verdict).toBe('sags');
    const battery = sag({ by: 'battery', first_V: 12.2, last_V: 12.4, standardUncertainty_V: 0.02 });
    expect(battery.verdict).toBe('rises');
    expect(battery.lostFlow).toBeNull();
  });

  it('is refused without catches, without anything that says what they are worth, and for what is no flow or pressure', () => {
    const ask = (first: number[], last: number[], own = 0.001) =>
      sagOf({
        by: 'flow',
        first: first.map((f) => caught(f, own)),
        last: last.map((f) => caught(f, own)),
        dial: 'untouched',
      });
    expect(ask([], [2])).toMatchObject({ because: 'too-few-catches' });
    expect(ask([2], [2], 0)).toMatchObject({ because: 'too-few-catches' });
    expect(ask([2], [0])).toMatchObject({ because: 'flow-not-positive' });
    expect(sagOf({ by: 'battery', first_V: 12, last_V: 0, standardUncertainty_V: 0.1 })).toMatchObject({
      because: 'setting-not-positive',
    });
  });

  it('is called a sag or a rise where there is none in 3 to 7 of 100 (1,000 seeded, three before, three after, 1 %)', () => {
    let called = 0;
    for (let seed = 0; seed < 1000; seed++) {
      const random = new Random(seed, 'sag');
      const three = () => [1, 2, 3].map(() => caught(2 * (1 + 0.01 * random.normal()), 1e-4));
      if (sag({ by: 'flow', first: three(), last: three(), dial: 'untouched' }).verdict !== 'none-seen')
        called++;
    }
    expect(called / 1000).toBeGreaterThan(0.03);
    expect(called / 1000).toBeLessThan(0.07);
  });
});
