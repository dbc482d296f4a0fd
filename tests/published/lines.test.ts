import { describe, expect, it } from 'vitest';
import { fCdf, fQuantile, tCdf, tQuantile } from '../../src/base/statistics/distributions.ts';
import { lineThroughOrigin } from '../../src/base/statistics/line-through-origin.ts';
import { lineAt, ordinaryLine } from '../../src/base/statistics/ordinary-line.ts';
import { pooledDeviation } from '../../src/base/statistics/pooled-deviation.ts';
import { powerLaw } from '../../src/base/statistics/power-law.ts';
import { weightedLineThroughOrigin } from '../../src/base/statistics/weighted-through-origin.ts';
import { danWood, noInt1, noInt2, norris, pontius } from './nist-strd.ts';

/** Digits that agree with a certified value. */
function expectDigits(value: number | null | undefined, certified: number, digits: number): void {
  expect(value).toBeTypeOf('number');
  expect(Math.abs(value! - certified) / Math.abs(certified)).toBeLessThan(10 ** -digits);
}

describe('line through the origin', () => {
  // Source: NIST StRD NoInt1 (as in usnistgov/dataplot NOINT1.DAT).
  it('gives the certified values of NoInt1 to 12 digits', () => {
    const fit = lineThroughOrigin(noInt1.x, noInt1.y);
    expectDigits(fit?.slope, 2.07438016528926, 12);
    expectDigits(fit?.slopeStandardUncertainty, 0.0165289256198347, 12);
    expectDigits(fit?.residualStandardDeviation, 3.56753034006338, 12);
    expectDigits(fit?.residualSumOfSquares, 127.272727272727, 12);
    expect(fit?.degreesOfFreedom).toBe(10);
  });

  // Source: NIST StRD NoInt2 (same).
  it('gives the certified values of NoInt2 to 12 digits', () => {
    const fit = lineThroughOrigin(noInt2.x, noInt2.y);
    expectDigits(fit?.slope, 0.727272727272727, 12);
    expectDigits(fit?.slopeStandardUncertainty, 0.0420827318078432, 12);
    expectDigits(fit?.residualStandardDeviation, 0.369274472937998, 12);
    expectDigits(fit?.residualSumOfSquares, 0.272727272727273, 12);
  });

  it('gives the certified slopes with equal weights too, and their uncertainty when u is the certified residual deviation', () => {
    for (const [data, slope, u, sd] of [
      [noInt1, 2.07438016528926, 0.0165289256198347, 3.56753034006338],
      [noInt2, 0.727272727272727, 0.0420827318078432, 0.369274472937998],
    ] as const) {
      const fit = weightedLineThroughOrigin(
        data.x,
        data.y,
        data.x.map(() => sd),
      );
      expectDigits(fit?.slope, slope, 12);
      expectDigits(fit?.slopeStandardUncertainty, u, 12);
      expectDigits(fit?.chiSquare, data.x.length - 1, 12);
    }
  });
});

describe('ordinary line', () => {
  // Source: NIST StRD Norris (as in ampl/gsl fit/test.c); covariance: note in the same file.
  it('gives the certified values of Norris to 10 digits', () => {
    const fit = ordinaryLine(norris.x, norris.y);
    expectDigits(fit?.intercept, -0.262323073774029, 11);
    expectDigits(fit?.slope, 1.00211681802045, 13);
    expectDigits(fit?.interceptStandardUncertainty, 0.232818234301152, 12);
    expectDigits(fit?.slopeStandardUncertainty, 0.000429796848199937, 12);
    expectDigits(fit?.residualSumOfSquares, 26.6173985294224, 12);
    expectDigits(fit?.covariance, -7.7432753633957e-5, 10);
    expect(fit?.degreesOfFreedom).toBe(34);
  });

  it('keeps six digits of the slope of Norris when every x is a time in epoch milliseconds', () => {
    const fit = ordinaryLine(
      norris.x.map((x) => x + 1_760_000_000_000),
      norris.y,
    );
    // x itself is rounded to 2e-4 out there: that, and not the sums, is what is lost.
    expectDigits(fit?.slope, 1.00211681802045, 6);
    expectDigits(fit?.slopeStandardUncertainty, 0.000429796848199937, 4);
  });

  // Source: Apache Commons Math SimpleRegressionTest, values verified there against R 1.8.1.
  it('gives the published slope inference of two small sets', () => {
    const a = ordinaryLine(
      [15.6, 26.8, 37.8, 36.4, 35.5, 18.6, 15.3, 7.9, 0],
      [5.2, 6.1, 8.7, 8.5, 8.8, 4.9, 4.5, 2.5, 1.1],
    );
    expectDigits(a?.slopeStandardUncertainty, 0.011448491, 7);
    expectDigits(a?.interceptStandardUncertainty, 0.286036932, 8);
    expectDigits(tQuantile(0.975, 7) * a!.slopeStandardUncertainty!, 0.0270713794287, 10);
    expectDigits(2 * tCdf(-a!.slope / a!.slopeStandardUncertainty!, 7), 4.596e-7, 3);
    const b = ordinaryLine([1, 2, 3, 4, 5, 6], [1, 0, 5, 2, -1, 12]);
    expectDigits(b?.slopeStandardUncertainty, 1.07260253, 8);
    expectDigits(b?.interceptStandardUncertainty, 4.17718672, 8);
    expectDigits(tQuantile(0.975, 4) * b!.slopeStandardUncertainty!, 2.97802204827, 10);
    expectDigits(2 * tCdf(-b!.slope / b!.slopeStandardUncertainty!, 4), 0.261829133982, 10);
  });

  // Source: GUM (JCGM 100:2008) H.3, numbers seen in MSLNZ/GTC; the long ones recomputed from its data.
  it('gives the thermometer line of GUM H.3, the correlation kept', () => {
    const t = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.01, 26.511];
    const b = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.16];
    const fit = ordinaryLine(
      t.map((value) => value - 20),
      b,
    );
    if (fit === null) throw new Error('no fit');
    expectDigits(fit.intercept, -0.17120379013135, 11);
    expectDigits(fit.slope, 0.00218269773989, 10);
    expectDigits(fit.interceptStandardUncertainty, 0.0028775978, 7);
    expectDigits(fit.slopeStandardUncertainty, 0.0006679387732, 9);
    expectDigits(fit.residualSumOfSquares, 0.000110096583109, 10);
    expectDigits(fit.residualStandardDeviation, 0.003497564, 7);
    const correlation = fit.covariance! / (fit.slopeStandardUncertainty! * fit.interceptStandardUncertainty!);
    expect(correlation).toBeCloseTo(-0.93, 3);
    expectDigits(lineAt(fit, 10), -0.1493768, 6);
    const u30 = Math.sqrt(
      fit.interceptStandardUncertainty! ** 2 +
        100 * fit.slopeStandardUncertainty! ** 2 +
        20 * fit.covariance!,
    );
    expectDigits(u30, 0.004138596, 6);
  });
});

describe('straight-line lack of fit against repeats', () => {
  // Source: NIST/SEMATECH e-Handbook 4.6.1.5 (Pontius load cell, straight line).
  it('gives the published table of the load cell', () => {
    const line = ordinaryLine(pontius.x, pontius.y);
    const repeats = pooledDeviation(pontius.pairs);
    if (line === null || repeats === null) throw new Error('no fit');
    expectDigits(line.intercept, 0.614969e-2, 5);
    expectDigits(line.slope, 0.722103e-6, 5);
    expectDigits(line.interceptStandardUncertainty, 0.7132e-3, 3.9);
    expectDigits(line.slopeStandardUncertainty, 0.3969e-9, 3.9);
    expectDigits(line.residualStandardDeviation, 0.0021712694, 5);
    expectDigits(repeats.standardDeviation, 2.147266e-4, 6);
    expect(repeats.degreesOfFreedom).toBe(20);
    const f =
      (line.residualSumOfSquares - repeats.sumOfSquares) /
      18 /
      (repeats.sumOfSquares / repeats.degreesOfFreedom);
    expectDigits(f, 214.7464, 5);
    expect(fQuantile(0.95, 18, 20)).toBeCloseTo(2.15, 2);
    expect(fCdf(f, 18, 20)).toBeGreaterThan(0.999999);
  });

  // Source: Penn State STAT 501 lesson 2.11 (the table); its data from memory, which reproduces every entry of the table.
  it('gives the published table of the bank accounts', () => {
    const x = [125, 100, 200, 75, 150, 175, 75, 175, 125, 200, 100];
    const y = [160, 112, 124, 28, 152, 156, 42, 124, 150, 104, 136];
    const line = ordinaryLine(x, y);
    const groups = new Map<number, number[]>();
    x.forEach((value, i) => groups.set(value, [...(groups.get(value) ?? []), y[i]!]));
    const repeats = pooledDeviation(groups.values());
    if (line === null || repeats === null) throw new Error('no fit');
    expect(line.residualSumOfSquares).toBeCloseTo(14741.57, 1);
    expect(repeats.sumOfSquares).toBeCloseTo(1148, 8);
    const f = (line.residualSumOfSquares - 1148) / 4 / (1148 / 5);
    expect(f).toBeCloseTo(14.8, 2);
    expect(1 - fCdf(f, 4, 5)).toBeCloseTo(0.006, 3);
  });
});

describe('power law', () => {
  // Source: NIST StRD DanWood (as in lmfit-py NIST_STRD/DanWood.dat).
  it('gives the certified values of DanWood to 8 digits', () => {
    const fit = powerLaw(danWood.x, danWood.y);
    if (!fit.ok) throw new Error(fit.because);
    expectDigits(fit.value.coefficient, 7.6886226176e-1, 8);
    expectDigits(fit.value.exponent, 3.8604055871, 9);
    expectDigits(fit.value.coefficientStandardUncertainty, 1.828197386e-2, 7);
    expectDigits(fit.value.exponentStandardUncertainty, 5.1726610913e-2, 7);
    expectDigits(fit.value.sumOfSquares, 4.3173084083e-3, 9);
    expect(fit.value.degreesOfFreedom).toBe(4);
  });

  it('is not the straight line through the logarithms, which answers another question on the same data', () => {
    const logs = ordinaryLine(danWood.x.map(Math.log), danWood.y.map(Math.log));
    expect(Math.exp(logs!.intercept)).toBeCloseTo(0.7499453, 6);
    expect(logs!.slope).toBeCloseTo(3.9172056, 6);
    const fit = powerLaw(danWood.x, danWood.y);
    if (!fit.ok) throw new Error(fit.because);
    expect(Math.abs(fit.value.exponent - logs!.slope)).toBeGreaterThan(0.05);
  });

  it('gives the certified DanWood with the residual deviation as known u, and the same whatever the units', () => {
    const sd = 3.2853114039e-2;
    const fit = powerLaw(
      danWood.x,
      danWood.y,
      danWood.x.map(() => sd),
    );
    if (!fit.ok) throw new Error(fit.because);
    expectDigits(fit.value.exponentStandardUncertainty, 5.1726610913e-2, 7);
    const si = powerLaw(
      danWood.x.map((x) => x * 2e5),
      danWood.y.map((y) => y * 1e-6),
    );
    if (!si.ok) throw new Error(si.because);
    expectDigits(si.value.exponent, 3.8604055871, 9);
    expectDigits(si.value.exponentStandardUncertainty, 5.1726610913e-2, 7);
    expectDigits(si.value.coefficient, 7.6886226176e-1 * 1e-6 * 2e5 ** -3.8604055871, 7);
  });
});
