import { describe, expect, test } from 'vitest';
import { deviationOf, usualSettings_Pa } from '../../../src/analysis/drift/deviation.ts';
import type { SweepFlows } from '../../../src/analysis/drift/deviation.ts';
import { shared } from './shared-part.ts';

const k = 5e-8;
function sweep(settings_Pa: readonly number[], factor = 1, with_: Partial<SweepFlows> = {}): SweepFlows {
  return {
    sweepId: 'one',
    at_ms: 0,
    settings: settings_Pa.map((setting_Pa) => ({
      setting_Pa,
      flow_m3_per_s: factor * k * Math.sqrt(setting_Pa),
      ownRelativeStandardUncertainty: 0.004,
      ownDegreesOfFreedom: 12,
    })),
    shared: [shared('scale-factor', 0.003)],
    flowFrom: 'mass',
    day: '2026-11-26',
    instrument: 'a',
    instrumentChecked: true,
    isThisTip: null,
    ...with_,
  };
}
const baseline = [sweep([138e3, 207e3, 276e3, 345e3, 414e3])];

describe('deviation of a check', () => {
  test('the same factor at every setting comes out, whatever the settings', () => {
    for (const settings of [[276e3], [207e3, 345e3], [138e3, 207e3, 276e3, 345e3, 414e3]])
      expect(deviationOf(sweep(settings, 1.03), baseline)!.relative).toBeCloseTo(0.03, 9);
  });

  test('a setting that the baseline spans is held against its neighbours, one outside is not', () => {
    expect(deviationOf(sweep([300e3], 0.95), baseline)!.relative).toBeCloseTo(-0.05, 9);
    expect(deviationOf(sweep([500e3]), baseline)).toBeNull();
    expect(deviationOf(sweep([100e3]), baseline)).toBeNull();
  });

  test('40 psi and 2.76 bar are one setting, the little that they differ taken along', () => {
    expect(deviationOf(sweep([275790]), [sweep([276000])])!.relative).toBeCloseTo(0, 9);
  });

  test('the usual settings are looked at where they are there', () => {
    const leaks = sweep([276e3, 414e3]);
    const check = {
      ...leaks,
      settings: leaks.settings.map((one, i) => (i === 1 ? { ...one, flow_m3_per_s: 2e-5 } : one)),
    };
    expect(deviationOf(check, baseline, [276e3])!.relative).toBeCloseTo(0, 9);
    expect(usualSettings_Pa([sweep([1e5, 2e5]), sweep([3e5]), sweep([1e5, 2e5, 3e5])])).toEqual([3e5]);
    expect(usualSettings_Pa([])).toEqual([]);
  });

  test('own doubts of both; what is shared only with another instrument', () => {
    const same = deviationOf(sweep([276e3]), baseline)!;
    expect(same.standardUncertainty).toBeCloseTo(Math.hypot(0.004, 0.004), 9);
    expect(same.otherInstrumentUncertainty).toBe(0);
    const other = deviationOf(sweep([276e3], 1, { instrument: 'b' }), baseline)!;
    expect(other.standardUncertainty).toBeCloseTo(Math.hypot(0.004, 0.004, 0.003, 0.003), 9);
    const ofThree = deviationOf(sweep([276e3]), [...baseline, ...baseline, ...baseline])!;
    expect(ofThree.standardUncertainty).toBeCloseTo(Math.hypot(0.004, 0.004 / Math.sqrt(3)), 9);
  });

  test('what two sweeps share cancels as in a comparison of tips: the water and the scale of another day do not', () => {
    const own = Math.hypot(0.004, 0.004);
    const of = (parts: SweepFlows['shared'], check: Partial<SweepFlows> = {}) =>
      deviationOf(sweep([276e3], 1, { shared: parts, ...check }), [sweep([276e3], 1, { shared: parts })])!;
    const weekLater = { day: '2026-12-03' };
    const water = [shared('water-temperature', 0.002, 15)];
    expect(of(water).standardUncertainty).toBeCloseTo(own, 9);
    expect(of(water, weekLater).standardUncertainty).toBeCloseTo(Math.hypot(own, 0.002, 0.002), 9);
    // The same day, but another temperature was told.
    expect(of(water, { shared: [shared('water-temperature', 0.002, 25)] }).standardUncertainty).toBeCloseTo(
      Math.hypot(own, 0.002, 0.002),
      9,
    );
    expect(of([shared('scale-factor', 0.003)], weekLater).standardUncertainty).toBeCloseTo(
      Math.hypot(own, 0.003, 0.003),
      9,
    );
    for (const always of ['host-clock', 'meter-factor'] as const)
      expect(of([shared(always, 0.003)], weekLater).standardUncertainty).toBeCloseTo(own, 9);
    // Of one instrument it is no other instrument's error, and no limit is widened for it.
    expect(of(water, weekLater).otherInstrumentUncertainty).toBe(0);
  });

  test('a baseline over several days counts as its day that has least in common with the check', () => {
    const one = (day: string) => sweep([276e3], 1, { day });
    const found = deviationOf(one('2026-11-26'), [one('2026-11-24'), one('2026-11-25'), one('2026-11-26')])!;
    expect(found.standardUncertainty).toBeCloseTo(Math.hypot(0.004, 0.004 / Math.sqrt(3), 0.003, 0.003), 9);
  });

  test('units change nothing: all flows and pressures times a factor', () => {
    const scaled = (one: SweepFlows): SweepFlows => ({
      ...one,
      settings: one.settings.map((s) => ({
        ...s,
        setting_Pa: s.setting_Pa * 1e-5,
        flow_m3_per_s: s.flow_m3_per_s * 6e4,
      })),
    });
    const check = sweep([207e3, 276e3], 1.07);
    expect(deviationOf(scaled(check), baseline.map(scaled))!.relative).toBeCloseTo(
      deviationOf(check, baseline)!.relative,
      12,
    );
  });

  test('an empty baseline is a mistake', () => {
    expect(() => deviationOf(sweep([276e3]), [])).toThrow(RangeError);
  });
});
