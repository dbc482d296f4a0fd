import { describe, expect, it } from 'vitest';
import { buoyancyFactor } from '../../src/analysis/flow/buoyancy.ts';
import { waterDensity, waterDensity_kg_per_m3 } from '../../src/analysis/flow/water-density.ts';

function density(t: number): number {
  const outcome = waterDensity_kg_per_m3(t);
  if (!outcome.ok) throw new Error(outcome.because);
  return outcome.value;
}

describe('density of water', () => {
  // Source: M. Tanaka et al., Metrologia 38 (2001) 301, recommended table (seen in a public test fixture that cites it).
  it('gives every entry of the CIPM table from 0 to 40 degrees', () => {
    const table = [
      999.8428, 999.9017, 999.9429, 999.9672, 999.9749, 999.9668, 999.9431, 999.9045, 999.8513, 999.7839,
      999.7027, 999.6081, 999.5005, 999.3801, 999.2474, 999.1026, 998.9459, 998.7778, 998.5984, 998.4079,
      998.2067, 997.995, 997.773, 997.5408, 997.2988, 997.047, 996.7857, 996.5151, 996.2353, 995.9465,
      995.6488, 995.3424, 995.0275, 994.7041, 994.3724, 994.0326, 993.6847, 993.329, 992.9654, 992.5941,
      992.2152,
    ];
    expect(table).toHaveLength(41);
    table.forEach((printed, t) => expect(Math.abs(density(t) - printed)).toBeLessThanOrEqual(0.0000501));
  });

  // Source: ITTC 7.5-02-01-03 (2011), fresh water (same fixture); another formula: within 2 parts per million.
  it('agrees with the ITTC table within 2 ppm', () => {
    for (const [t, printed] of [
      [10, 999.7025],
      [15, 999.1026],
      [20, 998.2072],
      [25, 997.0476],
      [30, 995.6495],
      [35, 994.0333],
      [40, 992.2164],
    ] as const) {
      expect(Math.abs(density(t) / printed - 1)).toBeLessThan(2e-6);
    }
  });

  // Source: Bettin & Spieweck 1990 polynomial (seen in IP Standard Methods 1998, App. G), evaluated here.
  it('agrees with Bettin & Spieweck within 5 ppm', () => {
    for (let t = 0; t <= 40; t += 5) {
      const other =
        (999.83952 +
          16.952577 * t -
          7.9905127e-3 * t ** 2 -
          46.241757e-6 * t ** 3 +
          105.84601e-9 * t ** 4 -
          281.03006e-12 * t ** 5) /
        (1 + 16.887236e-3 * t);
      expect(Math.abs(density(t) / other - 1)).toBeLessThan(5e-6);
    }
  });

  // A stored copy of the Kell 1975 formula has two digits transposed and gives 997.94 at 20 degrees.
  it('does not reproduce the published slip in the denominator of Kell 1975', () => {
    expect(density(20)).toBeGreaterThan(998.2);
  });

  it('refuses outside 0 to 40 degrees instead of extrapolating', () => {
    for (const t of [-0.1, 40.1, 50, NaN]) {
      expect(waterDensity_kg_per_m3(t)).toMatchObject({ ok: false, because: 'outside-measured-range' });
    }
  });
});

describe('doubt about the density from the temperature', () => {
  function relativeU(t: number | null): number {
    const water = waterDensity(t);
    if (!water.ok) throw new Error(water.because);
    return water.value.relativeStandardUncertainty;
  }

  // Arithmetic from the CIPM table: 0.21 kg/m³ per degree at 20 °C.
  it('is 2.1 parts in 10,000 for a stated 20 degrees', () => {
    expect(relativeU(20)).toBeCloseTo(2.07e-4, 5);
  });

  it('does not fall to nothing at 4 degrees, where the curve is flat', () => {
    expect(relativeU(4)).toBeGreaterThan(5e-6);
  });

  // Arithmetic: root mean square of the table's differences to 20 °C from 10 to 30 °C by the trapezium rule.
  it('is 0.12 % when nobody stated one, and says so', () => {
    let sum = 0;
    for (let t = 10; t <= 30; t++) {
      sum += (t === 10 || t === 30 ? 0.5 : 1) * (density(t) / density(20) - 1) ** 2;
    }
    expect(relativeU(null)).toBeCloseTo(Math.sqrt(sum / 20), 5);
    expect(relativeU(null)).toBeGreaterThan(0.0011);
    expect(relativeU(null)).toBeLessThan(0.0013);
    expect(waterDensity(null)).toMatchObject({ value: { assumed: true } });
    expect(waterDensity(18)).toMatchObject({ value: { assumed: false } });
  });

  it('is refused for water too warm for the formula', () => {
    expect(waterDensity(50)).toMatchObject({ ok: false, because: 'outside-measured-range' });
  });
});

describe('buoyancy', () => {
  // Arithmetic from (1 − ρa/8000)/(1 − ρa/ρw) with ρa = 1.2 kg/m³ and the CIPM density; no source prints it.
  it('gives the factor at four temperatures', () => {
    for (const [t, factor] of [
      [5, 1.0010513],
      [10, 1.0010516],
      [20, 1.0010534],
      [30, 1.0010565],
    ] as const) {
      expect(buoyancyFactor('mass-pieces', density(t))).toBeCloseTo(factor, 7);
      expect(buoyancyFactor('maker', density(t))).toBeCloseTo(factor, 7);
    }
  });

  // Arithmetic: volume in mL of 1 g in air. ISO 8655-6 prints 1.0029 at 20 degrees (from memory).
  it('gives the millilitres of one gram of water in air', () => {
    for (const [t, z] of [
      [5, 1.00108],
      [10, 1.00135],
      [15, 1.00195],
      [20, 1.00285],
      [25, 1.00402],
      [30, 1.00543],
      [35, 1.00707],
    ] as const) {
      expect((1000 * buoyancyFactor('mass-pieces', density(t))) / density(t)).toBeCloseTo(z, 5);
    }
  });

  it('is not applied when the scale factor came from a known volume of water, which holds it already', () => {
    expect(buoyancyFactor('water-volume', density(20))).toBe(1);
  });

  it('throws for a water lighter than air', () => {
    expect(() => buoyancyFactor('maker', 1)).toThrow(RangeError);
  });
});
