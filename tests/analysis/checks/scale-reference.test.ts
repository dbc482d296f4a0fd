import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { referenceMass, type ScaleReference } from '../../../src/analysis/checks/scale-reference.ts';
import { LITRE_M3, POUND_KG } from '../../../src/base/units/constants.ts';

const fine = { step_kg: 1e-4, limit_kg: 30 };
const pieces = (mass_kg: number, standardUncertainty_kg = 0): ScaleReference => ({
  kind: 'mass-pieces',
  mass_kg,
  standardUncertainty_kg,
});
const water = (temperature_degC: number | null, litres = 5): ScaleReference => ({
  kind: 'water-volume',
  volume_m3: litres * LITRE_M3,
  standardUncertainty_m3: 0.005 * LITRE_M3,
  temperature_degC,
});

describe('what is put on a scale to check it', () => {
  it('refuses 500 lb, on any scale', () => {
    const heavy = pieces(500 * POUND_KG);
    expect(referenceMass(heavy, fine)).toMatchObject({
      because: 'check-mass-too-big',
      facts: { limit_kg: 30 },
    });
    expect(referenceMass(heavy, { step_kg: null, limit_kg: null })).toMatchObject({
      because: 'check-mass-too-big',
      facts: { limit_kg: 100 },
    });
    expect(referenceMass(heavy, { step_kg: null, limit_kg: 1000 })).toMatchObject({ ok: false });
  });

  it.each([0, -1, NaN])('refuses a mass of %d kg', (mass_kg) => {
    expect(referenceMass(pieces(mass_kg), fine)).toMatchObject({ because: 'check-mass-not-positive' });
  });

  it('refuses a gram on a scale of one-gram steps, and takes a hundred of its steps', () => {
    const coarse = { step_kg: 1e-3, limit_kg: 30 };
    expect(referenceMass(pieces(1e-3), coarse)).toMatchObject({
      because: 'check-mass-too-small',
      facts: { least_kg: 0.1 },
    });
    expect(referenceMass(pieces(0.1), coarse).ok).toBe(true);
    expect(referenceMass(pieces(0.499), { ...coarse, step_kg: 5e-3 })).toMatchObject({
      because: 'check-mass-too-small',
    });
  });

  it('refuses a weight that nobody knows well enough, and a negative ±', () => {
    expect(referenceMass(pieces(2, 0.1), fine)).toMatchObject({ because: 'check-reference-unsure' });
    expect(referenceMass(pieces(2, -0.1), fine)).toMatchObject({ because: 'check-reference-unsure' });
  });

  it('refuses a volume without a temperature, and water at 60 °C', () => {
    expect(referenceMass(water(null), fine)).toMatchObject({ because: 'check-water-temperature-missing' });
    expect(referenceMass(water(60), fine)).toMatchObject({
      because: 'check-water-out-of-range',
      facts: { temperature_degC: 60 },
    });
    expect(referenceMass(water(-1), fine)).toMatchObject({ because: 'check-water-out-of-range' });
    expect(referenceMass(water(20, 0), fine)).toMatchObject({ because: 'check-mass-not-positive' });
  });

  it('makes volume a true mass with the density of its temperature', () => {
    // CIPM table (Tanaka et al., Metrologia 38, 2001): 998.2067 kg/m³ at 20 °C.
    const found = referenceMass(water(20), fine);
    expect(found.ok && found.value.mass_kg).toBeCloseTo(5 * 0.9982067, 6);
    // 5 mL of 5 L and 1 °C at 2.07e-4 a degree (arithmetic from the same table).
    expect(found.ok && found.value.standardUncertainty_kg).toBeCloseTo(
      Math.hypot(0.005 * 0.9982067, 5 * 0.9982067 * 2.07e-4),
      5,
    );
  });

  it('never throws and never answers with a mass that is not above zero (fast-check, seed 20261126)', () => {
    const any = fc.oneof(fc.double(), fc.constantFrom(0, -1, NaN, Infinity, 1e-3, 226.8));
    fc.assert(
      fc.property(any, any, fc.option(any), (amount, u, temperature_degC) => {
        for (const reference of [
          pieces(amount, u),
          { kind: 'water-volume' as const, volume_m3: amount, standardUncertainty_m3: u, temperature_degC },
        ]) {
          const found = referenceMass(reference, { step_kg: 1e-3, limit_kg: 30 });
          if (!found.ok) continue;
          expect(found.value.mass_kg).toBeGreaterThanOrEqual(0.0999);
          expect(found.value.mass_kg).toBeLessThanOrEqual(30);
          expect(found.value.standardUncertainty_kg).toBeGreaterThanOrEqual(0);
        }
      }),
      { seed: 20261126, numRuns: 500 },
    );
  });
});
