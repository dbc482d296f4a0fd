import { describe, expect, it } from 'vitest';
import { lackOfFitFromRepeats } from '../../src/base/statistics/lack-of-fit-from-repeats.ts';
import { polynomialFit } from '../../src/base/statistics/polynomial.ts';
import type { PolynomialFit } from '../../src/base/statistics/polynomial.ts';
import { loadCell, pontius } from './nist-strd.ts';

/** Leading digits that agree: −log10 of the relative difference. */
function digits(value: number, certified: number): number {
  return value === certified ? 16 : -Math.log10(Math.abs(value / certified - 1));
}

function fitted(x: readonly number[], y: readonly number[], degree: number): PolynomialFit {
  const fit = polynomialFit(x, y, degree);
  if (fit === null) throw new Error('no fit');
  return fit;
}

// Source: NIST StRD Pontius (certified), a real calibration of a load cell: itl.nist.gov/div898/strd/lls/data/Pontius.shtml.
describe('the quadratic of the Pontius load cell', () => {
  const fit = fitted(pontius.x, pontius.y, 2);

  it('has the certified coefficients to nine digits', () => {
    const certified = [0.673565789473684e-3, 0.732059160401003e-6, -0.316081871345029e-14];
    certified.forEach((c, i) => expect(digits(fit.coefficients[i]!, c)).toBeGreaterThan(9));
  });

  it('has the certified uncertainties, residual deviation and sum of squares to eight digits', () => {
    const certified = [0.107938612033077e-3, 0.157817399981659e-9, 0.486652849992036e-16];
    certified.forEach((u, i) => expect(digits(fit.standardUncertainties![i]!, u)).toBeGreaterThan(8));
    expect(digits(fit.residualStandardDeviation!, 0.205177424076185e-3)).toBeGreaterThan(8);
    expect(digits(fit.residualSumOfSquares, 0.155761768796992e-5)).toBeGreaterThan(8);
    expect(fit.degreesOfFreedom).toBe(37);
  });

  // Handbook 4.6.1.8, from memory; the figure reproduces (0.810724 recomputed).
  it('fits: F 0.8107 against a critical 2.17', () => {
    const test = lackOfFitFromRepeats(pontius.x, fit.residuals, 3);
    expect(test?.statistic).toBeCloseTo(0.8107, 4);
    expect(test?.criticalValue).toBeCloseTo(2.17, 2);
    expect(test).toMatchObject({
      exceeds: false,
      numeratorDegreesOfFreedom: 17,
      denominatorDegreesOfFreedom: 20,
    });
  });
});

// Source: NIST/SEMATECH e-Handbook 4.6.1.5: F 214.7464, critical 2.15 for 18 and 20 degrees of freedom.
describe('the straight line of the Pontius load cell', () => {
  it('does not fit: F 214.75', () => {
    const fit = fitted(pontius.x, pontius.y, 1);
    const test = lackOfFitFromRepeats(pontius.x, fit.residuals, 2);
    expect(digits(test!.statistic, 214.7464)).toBeGreaterThan(5);
    expect(test!.criticalValue).toBeCloseTo(2.15, 2);
    expect(test).toMatchObject({
      exceeds: true,
      numeratorDegreesOfFreedom: 18,
      denominatorDegreesOfFreedom: 20,
    });
    expect(digits(test!.repeatDeviation, 2.147266e-4)).toBeGreaterThan(6);
  });
});

// Data: NIST dataplot LOADCELL.DAT. Printed results: e-Handbook mpc365 (from memory), F 0.3482 there;
// the data as given yield 0.34767 (arithmetic; why the print differs is not known).
describe('the quadratic of the NIST load-cell set', () => {
  const fit = fitted(loadCell.x, loadCell.y, 2);

  it('has the printed coefficients', () => {
    expect(digits(fit.coefficients[0]!, -0.18398e-4)).toBeGreaterThan(5);
    expect(digits(fit.coefficients[1]!, 0.100102485)).toBeGreaterThan(8);
    expect(digits(fit.coefficients[2]!, 0.703187e-5)).toBeGreaterThan(5);
    expect(digits(fit.residualStandardDeviation!, 3.76403e-5)).toBeGreaterThan(5);
  });

  it('fits: F 0.348', () => {
    const test = lackOfFitFromRepeats(loadCell.x, fit.residuals, 3);
    expect(test!.statistic).toBeCloseTo(0.34767, 5);
    expect(digits(test!.repeatDeviation, 4.14144e-5)).toBeGreaterThan(5);
    expect(test).toMatchObject({
      exceeds: false,
      numeratorDegreesOfFreedom: 8,
      denominatorDegreesOfFreedom: 22,
    });
  });

  it('and a straight line through the same readings does not', () => {
    const line = fitted(loadCell.x, loadCell.y, 1);
    expect(lackOfFitFromRepeats(loadCell.x, line.residuals, 2)!.exceeds).toBe(true);
  });
});

// Source: Penn State STAT 501 lesson 2.11: F 14.80, p 0.006; the data from memory, which reproduces every entry of its table.
describe('the bank accounts', () => {
  it('give the printed F and p through the same function', () => {
    const x = [125, 100, 200, 75, 150, 175, 75, 175, 125, 200, 100];
    const y = [160, 112, 124, 28, 152, 156, 42, 124, 150, 104, 136];
    const test = lackOfFitFromRepeats(x, fitted(x, y, 1).residuals, 2)!;
    expect(test.statistic).toBeCloseTo(14.8014, 4);
    expect(test.pValue).toBeCloseTo(0.005594, 6);
    expect(test.lackOfFitSumOfSquares).toBeCloseTo(13593.57, 1);
    expect(test.pureErrorSumOfSquares).toBeCloseTo(1148, 8);
  });
});

describe('what cannot be fitted or tested', () => {
  it('is null instead of a number', () => {
    expect(polynomialFit([1, 1, 2], [1, 2, 3], 2)).toBeNull();
    expect(lackOfFitFromRepeats([1, 2, 3], [0, 0, 0], 2)).toBeNull();
    expect(lackOfFitFromRepeats([1, 1, 2, 2], [1, -1, 1, -1], 2)).toBeNull();
    expect(lackOfFitFromRepeats([1, 1, 2, 2, 3, 3], [1, 1, -2, -2, 1, 1], 2)).toBeNull();
    expect(() => polynomialFit([1, 2], [1], 1)).toThrow(RangeError);
    expect(() => polynomialFit([1, 2], [1, 2], 4)).toThrow(RangeError);
  });
});
