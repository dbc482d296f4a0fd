import { describe, expect, it } from 'vitest';
import { applicationVolumeUnits } from '../../../src/base/units/application-volume.ts';
import { flowUnits } from '../../../src/base/units/flow.ts';
import { areaUnits, lengthUnits, speedUnits } from '../../../src/base/units/length-area-speed.ts';
import { massUnits } from '../../../src/base/units/mass.ts';
import { parseNumber } from '../../../src/base/units/parse-number.ts';
import { pressureUnits } from '../../../src/base/units/pressure.ts';
import { degFDifference_from_degC, temperatureUnits } from '../../../src/base/units/temperature.ts';
import type { Unit } from '../../../src/base/units/unit.ts';
import { volumeUnits } from '../../../src/base/units/volume.ts';

const tables: Record<string, Readonly<Record<string, Unit>>> = {
  flowUnits,
  pressureUnits,
  massUnits,
  volumeUnits,
  temperatureUnits,
  lengthUnits,
  areaUnits,
  speedUnits,
  applicationVolumeUnits,
};

describe('units', () => {
  for (const [table, units] of Object.entries(tables)) {
    it(`gives back what was put in, for every unit of ${table}`, () => {
      for (const unit of Object.values(units)) {
        expect(unit.fromSi(unit.toSi(12.34))).toBeCloseTo(12.34, 12);
        expect(unit.symbol).not.toBe('');
      }
    });
    it(`has no two units with one symbol in ${table}`, () => {
      const symbols = Object.values(units).map((unit) => unit.symbol);
      expect(new Set(symbols).size).toBe(symbols.length);
    });
  }

  // Exact by definition: NIST Handbook 44 Appendix C, NIST SP 811 (recalled; see check-values).
  it('converts by the exact definitions', () => {
    expect(volumeUnits.gal.toSi(1)).toBe(3.785411784e-3);
    expect(volumeUnits.fl_oz.toSi(1) * 1e6).toBeCloseTo(29.5735295625, 10);
    expect(massUnits.oz.toSi(1) * 1000).toBeCloseTo(28.349523125, 10);
    expect(areaUnits.acre.toSi(1)).toBeCloseTo(4046.8564224, 7);
    expect(areaUnits.thousand_ft2.toSi(1)).toBeCloseTo(92.90304, 10);
    expect(speedUnits.mph.toSi(1)).toBeCloseTo(0.44704, 14);
    expect(pressureUnits.psi.toSi(1)).toBeCloseTo(6894.757293, 6);
    expect(temperatureUnits.degF.fromSi(100)).toBe(212);
    expect(temperatureUnits.degF.toSi(32)).toBe(0);
    expect(degFDifference_from_degC(1)).toBe(1.8);
  });

  // Arithmetic (check-values section 0, derived).
  it('relates the application volumes', () => {
    const one = applicationVolumeUnits.gal_per_acre.toSi(1);
    expect(applicationVolumeUnits.L_per_ha.fromSi(one)).toBeCloseTo(9.353956, 6);
    expect(applicationVolumeUnits.fl_oz_per_1000_ft2.fromSi(one)).toBeCloseTo(2.938476, 6);
    const turf = applicationVolumeUnits.gal_per_1000_ft2.toSi(1);
    expect(applicationVolumeUnits.gal_per_acre.fromSi(turf)).toBeCloseTo(43.56, 10);
    expect(applicationVolumeUnits.L_per_100_m2.fromSi(turf)).toBeCloseTo(4.074583, 6);
  });
});

describe('parseNumber', () => {
  it('takes comma and point as the decimal mark', () => {
    for (const [text, value] of [
      ['2.5', 2.5],
      ['2,5', 2.5],
      [' 40 ', 40],
      ['.5', 0.5],
      [',5', 0.5],
      ['5.', 5],
      ['-3', -3],
      ['\u22123', -3],
      ['+7', 7],
      ['-0', 0],
      ['1,234', 1.234],
      ['1.234', 1.234],
    ] as const) {
      expect(parseNumber(text)).toEqual({ ok: true, value });
    }
  });

  it('refuses what it would have to guess, and says which text', () => {
    for (const text of [
      '',
      ' ',
      '1,234.5',
      '1.234,5',
      '1.2.3',
      '1 234',
      '1e3',
      '0x10',
      'ten',
      '.',
      ',',
      '-',
      'NaN',
      '5 psi',
      '9'.repeat(400),
    ]) {
      expect(parseNumber(text)).toMatchObject({ ok: false, because: 'number-not-understood' });
    }
    expect(parseNumber('ten')).toMatchObject({ facts: { text: 'ten' } });
  });
});
