import { describe, expect, it } from 'vitest';
import { firstAtOrAfter, frontTrim_s, steadyWindow } from '../../../src/analysis/flow/steady-window.ts';

const time_s = Float64Array.from({ length: 401 }, (_, i) => i / 10);
const mass_kg = time_s.map((t) => t * 0.02);
const window = (start_s: number, stop_s: number, averagedReadings: number | null) =>
  steadyWindow(time_s, mass_kg, time_s.length, start_s, stop_s, { averagedReadings });

describe('the steady window', () => {
  it('cuts 1.0 s and the three remaining readings of a four-reading average in front, and 0.3 s behind', () => {
    const found = window(5, 25, 4);
    expect(found.ok && found.value.from_s).toBeCloseTo(6.3, 9);
    expect(found.ok && found.value.to_s).toBeCloseTo(24.7, 9);
    expect(found.ok && [time_s[found.value.first], time_s[found.value.end - 1]]).toEqual([6.3, 24.7]);
  });

  it('cuts 1.7 s in front when the filter of the scale is not known', () => {
    const found = window(5, 25, null);
    expect(found.ok && found.value.from_s).toBeCloseTo(6.7, 9);
    expect(frontTrim_s(null, 0.1)).toBe(1.7);
  });

  it('cuts 1.0 s and no more when the scale does not average', () => {
    expect(frontTrim_s(1, 0.1)).toBe(1);
    expect(frontTrim_s(0, 0.1)).toBe(1);
  });

  it('is refused under 6 s and taken from 6 s on', () => {
    expect(window(5, 12.25, 1)).toMatchObject({ ok: false, because: 'no-steady-window' });
    expect(window(5, 12.35, 1).ok).toBe(true);
  });

  it('is refused with 19 readings that show a mass and taken with 20', () => {
    const sparse = mass_kg.map((m, i) => (i >= 60 && i < 79 ? m : NaN));
    const ask = (mass: Float64Array) => steadyWindow(time_s, mass, 401, 5, 25, { averagedReadings: 1 });
    expect(ask(sparse)).toMatchObject({ ok: false, facts: { readings: 19 } });
    expect(ask(mass_kg.map((m, i) => (i >= 60 && i < 80 ? m : NaN))).ok).toBe(true);
  });

  it('finds the first time not before the wanted one', () => {
    expect([firstAtOrAfter(time_s, 401, -1), firstAtOrAfter(time_s, 401, 0.05)]).toEqual([0, 1]);
    expect([firstAtOrAfter(time_s, 401, 40), firstAtOrAfter(time_s, 401, 41)]).toEqual([400, 401]);
  });
});
