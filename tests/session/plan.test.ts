import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checkSetup, makeOrder, nextSetting, seededRandom } from '../../src/session/plan.ts';
import { aSetup, psi } from '../builders/setup.ts';

describe('the order of a sweep', () => {
  it('holds every setting as often as it is wanted, whatever the seed', () => {
    fc.assert(
      fc.property(fc.integer(), fc.integer({ min: 1, max: 5 }), (seed, catchesPerSetting) => {
        const setup = aSetup({ catchesPerSetting });
        const order = makeOrder(setup, seededRandom(seed));
        for (const setting of setup.settings_Pa)
          expect(order.filter((s) => s === setting)).toHaveLength(catchesPerSetting);
        expect(order).toHaveLength(catchesPerSetting * setup.settings_Pa.length);
      }),
      { seed: 20261125 },
    );
  });

  it('never asks for one setting twice running when it is random and there is a choice', () => {
    for (let seed = 0; seed < 200; seed += 1) {
      const order = makeOrder(aSetup({ settings_Pa: psi(20, 40) }), seededRandom(seed));
      order.forEach((setting, i) => expect(setting).not.toBe(order[i + 1]));
    }
  });

  it('is the same for the same seed and another for another', () => {
    const order = (seed: number): number[] => makeOrder(aSetup(), seededRandom(seed));
    expect(order(3)).toEqual(order(3));
    expect(order(3)).not.toEqual(order(4));
  });

  it('keeps the list when the person wants it as listed', () => {
    const setup = aSetup({ order: 'as-listed', settings_Pa: psi(60, 20), catchesPerSetting: 2 });
    expect(makeOrder(setup, seededRandom(1))).toEqual(psi(60, 60, 20, 20));
  });

  it('asks again for the setting whose catch was struck or void', () => {
    const order = [1, 2, 1, 2];
    expect(nextSetting(order, new Map([[1, 1]]))).toBe(2);
    expect(nextSetting(order, new Map([[2, 1]]))).toBe(1);
    expect(nextSetting(order, new Map([[1, 2], [2, 1]]))).toBe(2); // prettier-ignore
    expect(nextSetting(order, new Map([[1, 2], [2, 2]]))).toBeNull(); // prettier-ignore
  });
});

describe('a set-up that can not be measured', () => {
  const because = (setup: Parameters<typeof checkSetup>[0]): string | null => {
    const checked = checkSetup(setup);
    return checked.ok ? null : checked.because;
  };
  it('is refused with the reason', () => {
    expect(because(aSetup())).toBeNull();
    expect(because(aSetup({ settings_Pa: [] }))).toBe('no-settings');
    expect(because(aSetup({ settings_Pa: [-1] }))).toBe('setting-not-positive');
    expect(because(aSetup({ settings_Pa: [NaN] }))).toBe('setting-not-positive');
    expect(because(aSetup({ settings_Pa: [3e9] }))).toBe('setting-absurd');
    expect(because(aSetup({ settings_Pa: [2e5, 2e5] }))).toBe('settings-repeat');
    expect(because(aSetup({ catchesPerSetting: 0 }))).toBe('number-not-understood');
    expect(because(aSetup({ tip: { name: ' ', ratedFlow_m3_per_s: null, ratedPressure_Pa: null } }))).toBe(
      'name-missing',
    );
    expect(because(aSetup({ tip: { name: 'a', ratedFlow_m3_per_s: 0, ratedPressure_Pa: null } }))).toBe(
      'flow-not-positive',
    );
  });

  it('is refused where a setting lies above the rating of the weakest part, with both pressures', () => {
    const rated = (weakestRating_Pa: number | null) => ({
      rig: {
        ...aSetup().rig,
        plumbing: {
          gaugeAt: null,
          hoseLength_m: null,
          hoseBore_m: null,
          tipAboveGauge_m: null,
          weakestRating_Pa,
        },
      },
    });
    const [at50 = 0, at60 = 0] = psi(50, 60);
    const boom = { kind: 'boom', positions: 4 } as const;
    expect(checkSetup(aSetup(rated(at50)))).toMatchObject({
      ok: false,
      because: 'setting-above-rating',
      facts: { setting_Pa: at60, rating_Pa: at50 },
    });
    expect(because(aSetup({ ...rated(at50), protocol: 'one-pour' }))).toBe('setting-above-rating');
    expect(because(aSetup({ ...rated(at50), settings_Pa: [at60], routine: boom }))).toBe(
      'setting-above-rating',
    );
    expect(because(aSetup({ ...rated(at50), settings_Pa: [at50], routine: boom }))).toBeNull();
    expect(because(aSetup(rated(at60)))).toBeNull();
    expect(because(aSetup(rated(null)))).toBeNull();
  });
});
