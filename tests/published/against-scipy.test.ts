import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import {
  chiSquareCdf,
  chiSquareQuantile,
  fCdf,
  fQuantile,
  normalQuantile,
  tQuantile,
} from '../../src/base/statistics/distributions.ts';
import { grubbsTest } from '../../src/base/statistics/grubbs.ts';
import { huberLine } from '../../src/base/statistics/huber-line.ts';
import { lackOfFit } from '../../src/base/statistics/lack-of-fit.ts';
import { ordinaryLine } from '../../src/base/statistics/ordinary-line.ts';
import { digamma, trigamma } from '../../src/base/statistics/polygamma.ts';
import { polynomialFit } from '../../src/base/statistics/polynomial.ts';
import { powerLaw } from '../../src/base/statistics/power-law.ts';
import { theilSenLine } from '../../src/base/statistics/theil-sen-line.ts';
import { weightedLineThroughOrigin } from '../../src/base/statistics/weighted-through-origin.ts';
import { combineUncertainty } from '../../src/base/statistics/welch-satterthwaite.ts';
import { yorkLine } from '../../src/base/statistics/york-line.ts';

/*
 * An independent oracle: SciPy and numpy on data of their own. tests/fixtures/certified/refresh.py writes oracle.json with the versions
 * that made it; nothing of Python is needed to run this. `agrees` counts leading digits.
 */
interface Line {
  readonly x: number[];
  readonly y: number[];
}
interface Oracle {
  readonly madeBy: Readonly<Record<string, string>>;
  readonly quantiles: {
    readonly t: [number, number, number][];
    readonly chiSquare: [number, number, number][];
    readonly f: [number, number, number, number][];
    readonly normal: [number, number][];
    readonly fTail: [number, number, number, number][];
    readonly chiSquareTail: [number, number, number][];
  };
  readonly grubbs: [number, 'one-sided' | 'two-sided', number][];
  readonly weightedOrigin: Line &
    Record<'slope' | 'slopeStandardUncertainty' | 'chiSquare' | 'pValue', number> & { u: number[] };
  readonly freeExponent: Line & { u: number[] } & Record<
      | 'coefficient'
      | 'exponent'
      | 'coefficientStandardUncertainty'
      | 'exponentStandardUncertainty'
      | 'covariance',
      number
    >;
  readonly lineWithCovariance: Line &
    Record<
      'slope' | 'intercept' | 'slopeStandardUncertainty' | 'interceptStandardUncertainty' | 'covariance',
      number
    >;
  readonly quadratic: Line & { coefficients: number[]; standardUncertainties: number[] };
  readonly huber: Line & Record<'tuning' | 'intercept' | 'slope' | 'scale', number>;
  readonly theilSen: Line & Record<'slope' | 'intercept', number>;
  readonly york: Line & { ux: number[]; uy: number[] } & Record<
      'slope' | 'intercept' | 'sumOfSquares',
      number
    >;
  readonly polygamma: [number, number, number][];
  readonly welch: { u: number[]; df: number[] } & Record<'combined' | 'effective' | 't95' | 't99', number>;
}
const oracle = JSON.parse(
  readFileSync(new URL('../fixtures/certified/oracle.json', import.meta.url), 'utf8'),
) as Oracle;

function agrees(ours: number | null | undefined, theirs: number, digits: number): void {
  const scale = Math.abs(theirs) > 0 ? Math.abs(theirs) : 1;
  expect(Math.abs((ours ?? NaN) - theirs) / scale).toBeLessThan(10 ** -digits);
}

describe(`quantiles and tails, against SciPy ${oracle.madeBy['scipy'] ?? '?'}`, () => {
  it('agree to nine digits', () => {
    for (const [p, df, t] of oracle.quantiles.t) agrees(tQuantile(p, df), t, 9);
    for (const [p, df, x] of oracle.quantiles.chiSquare) agrees(chiSquareQuantile(p, df), x, 9);
    for (const [p, a, b, f] of oracle.quantiles.f) agrees(fQuantile(p, a, b), f, 9);
    for (const [p, z] of oracle.quantiles.normal) agrees(normalQuantile(p), z, 9);
  });

  it('have upper tails that agree to twelve decimals', () => {
    for (const [x, a, b, tail] of oracle.quantiles.fTail) expect(1 - fCdf(x, a, b)).toBeCloseTo(tail, 12);
    for (const [x, df, tail] of oracle.quantiles.chiSquareTail)
      expect(1 - chiSquareCdf(x, df)).toBeCloseTo(tail, 12);
  });

  it('make the critical values of Grubbs to nine digits', () => {
    for (const [n, sides, critical] of oracle.grubbs) {
      const values = Array.from({ length: n }, (_, i) => i);
      const test = grubbsTest(values, 0.05, sides);
      agrees(test.ok ? test.value.criticalValue : null, critical, 9);
    }
  });

  it('and the derivatives of ln Γ agree to ten digits', () => {
    for (const [x, first, second] of oracle.polygamma) {
      agrees(digamma(x), first, 10);
      agrees(trigamma(x), second, 10);
    }
  });
});

describe('fits, against SciPy and numpy', () => {
  it('weighted through the origin: slope, uncertainty, chi-square and p to ten digits', () => {
    const { x, y, u, slope, slopeStandardUncertainty, chiSquare, pValue } = oracle.weightedOrigin;
    const ours = weightedLineThroughOrigin(x, y, u)!;
    agrees(ours.slope, slope, 10);
    agrees(ours.slopeStandardUncertainty, slopeStandardUncertainty, 10);
    agrees(ours.chiSquare, chiSquare, 9);
    agrees(lackOfFit(ours.residuals, u, 1)?.pValue, pValue, 9);
  });

  it('free exponent with its covariance: values to eight digits, uncertainties to six', () => {
    const theirs = oracle.freeExponent;
    const ours = powerLaw(theirs.x, theirs.y, theirs.u);
    if (!ours.ok) throw new Error(ours.because);
    agrees(ours.value.coefficient, theirs.coefficient, 8);
    agrees(ours.value.exponent, theirs.exponent, 8);
    agrees(ours.value.coefficientStandardUncertainty, theirs.coefficientStandardUncertainty, 6);
    agrees(ours.value.exponentStandardUncertainty, theirs.exponentStandardUncertainty, 6);
    agrees(ours.value.covariance, theirs.covariance, 6);
  });

  it('the thermometer line of GUM H.3 with its covariance to ten digits', () => {
    const theirs = oracle.lineWithCovariance;
    const ours = ordinaryLine(theirs.x, theirs.y)!;
    agrees(ours.slope, theirs.slope, 10);
    agrees(ours.intercept, theirs.intercept, 10);
    agrees(ours.slopeStandardUncertainty, theirs.slopeStandardUncertainty, 9);
    agrees(ours.interceptStandardUncertainty, theirs.interceptStandardUncertainty, 9);
    agrees(ours.covariance, theirs.covariance, 9);
  });

  it('a quadratic with its uncertainties to nine digits', () => {
    const { x, y, coefficients, standardUncertainties } = oracle.quadratic;
    const ours = polynomialFit(x, y, 2)!;
    coefficients.forEach((c, i) => agrees(ours.coefficients[i], c, 9));
    standardUncertainties.forEach((u, i) => agrees(ours.standardUncertainties![i], u, 9));
  });

  // The scale's 1.4826 is 1/0.6745 rounded: five digits, no more.
  it('Huber’s line to five digits', () => {
    const { x, y, tuning, slope, intercept, scale } = oracle.huber;
    const ours = huberLine(x, y, tuning)!;
    agrees(ours.slope, slope, 5);
    agrees(ours.intercept, intercept, 5);
    agrees(ours.scale, scale, 4.5);
  });

  it('the Theil-Sen line to twelve digits', () => {
    const { x, y, slope, intercept } = oracle.theilSen;
    const ours = theilSenLine(x, y)!;
    agrees(ours.slope, slope, 12);
    agrees(ours.intercept, intercept, 12);
  });

  // Data of Pearson with weights of York; York et al., Am. J. Phys. 72 (2004) 367 prints 5.47991, -0.480533, and the uncertainties
  // 0.29497 and 0.0579850 (all recalled; slope, intercept and sum come from SciPy's orthogonal distance regression).
  it('York’s line to seven digits, and its printed uncertainties', () => {
    const { x, y, ux, uy, slope, intercept, sumOfSquares } = oracle.york;
    const ours = yorkLine(x, y, ux, uy)!;
    agrees(ours.slope, slope, 6.8);
    agrees(ours.intercept, intercept, 7);
    agrees(ours.sumOfSquares, sumOfSquares, 9);
    expect(ours.slope).toBeCloseTo(-0.480533, 6);
    expect(ours.intercept).toBeCloseTo(5.47991, 5);
    expect(ours.interceptStandardUncertainty).toBeCloseTo(0.29497, 4);
    expect(ours.slopeStandardUncertainty).toBeCloseTo(0.057985, 5);
  });

  it('the budget of GUM H.1 to twelve digits', () => {
    const { u, df, combined, effective, t95, t99 } = oracle.welch;
    const ours = combineUncertainty(
      u.map((standardUncertainty, i) => ({ standardUncertainty, degreesOfFreedom: df[i]! })),
    );
    agrees(ours.standardUncertainty, combined, 12);
    agrees(ours.degreesOfFreedom, effective, 12);
    agrees(tQuantile(0.975, ours.degreesOfFreedom), t95, 9);
    agrees(tQuantile(0.995, ours.degreesOfFreedom), t99, 9);
  });
});
