import { describe, expect, it } from 'vitest';
import { diagnose, isDiagnosis } from '../../src/analysis/diagnosis/diagnose.ts';
import type { Diagnosis } from '../../src/analysis/diagnosis/diagnosis.ts';
import { fitNozzleCurve } from '../../src/analysis/curve/nozzle-curve.ts';
import { MINUTE_S, PSI_PA, US_GALLON_M3 } from '../../src/base/units/constants.ts';
import { leakPast_m3_per_s } from '../../src/simulation/water-path.ts';

const GPM = US_GALLON_M3 / MINUTE_S;

/** One catch at each pressure, as printed in a table: flow good to `relative`, pressure to a quarter of a psi. */
function judged(
  table: readonly (readonly [psi: number, gpm: number])[],
  referenceGpmPerRootPsi: number,
  relative = 0.005,
): Diagnosis {
  const fitted = fitNozzleCurve({
    points: table.map(([psi, gpm]) => ({
      pressure_Pa: psi * PSI_PA,
      setting_Pa: psi * PSI_PA,
      flow_m3_per_s: gpm * GPM,
      ownStandardUncertainty_m3_per_s: relative * gpm * GPM,
      sharedRelativeStandardUncertainty: 0,
    })),
    protocol: 'set-once',
    settingStandardUncertainty_Pa: 0.25 * PSI_PA,
    pressureMeasured: false,
  });
  const answer = diagnose({
    curve: fitted.ok ? fitted.value : null,
    pressures_Pa: [],
    reference: {
      referenceNozzleConstant_m3_per_s_per_sqrtPa: (referenceGpmPerRootPsi * GPM) / Math.sqrt(PSI_PA),
      referenceRelativeStandardUncertainty: 0.005,
      referenceFrom: 'baseline',
    },
    checks: [],
    plumbing: { gaugeAt: null, hoseLength_m: null, hoseBore_m: null, tipAboveGauge_m: null },
    sensorChecked: false,
    scaleChecked: true,
    meter: null,
    earlierFinding: null,
  });
  if (!isDiagnosis(answer)) throw new Error(answer.because);
  return answer;
}

// Sprinkler nozzle capacities, gal/min at 35, 40, 45, 50, 55 psi, and k = ΣQ√P/ΣP computed from them: irrigation flow-estimation extension
// sheet (same method list as Oregon State University Extension EC 1369, Trimmer, "Estimating Water Flow Rates", repr. 1994).
const pressures_psi = [35, 40, 45, 50, 55];
const nozzles = [
  { bore: '9/64', flows: [3.4, 3.63, 3.84, 4.04, 4.22], k: 0.57198 },
  { bore: '5/32', flows: [4.16, 4.45, 4.72, 4.98, 5.22], k: 0.70375 },
  { bore: '11/64', flows: [5.02, 5.37, 5.7, 6.01, 6.3], k: 0.84941 },
  { bore: '3/16', flows: [5.97, 6.41, 6.81, 7.18, 7.51], k: 1.01337 },
  { bore: '13/64', flows: [7.08, 7.6, 8.07, 8.49, 8.87], k: 1.19957 },
  { bore: '7/32', flows: [8.26, 8.87, 9.41, 9.88, 10.3], k: 1.39706 },
];
const tableOf = ({ flows }: (typeof nozzles)[number]) =>
  flows.map((gpm, i) => [pressures_psi[i]!, gpm] as const);

describe('the published sprinkler nozzles', () => {
  it.each(nozzles)('$bore in shows no fault against its own constant', (nozzle) => {
    const { finding } = judged(tableOf(nozzle), nozzle.k);
    expect(finding).toMatchObject({ cause: 'no fault shown', fits: true });
  });

  it.each(nozzles.slice(1).map((larger, i) => ({ larger, smaller: nozzles[i]! })))(
    '$larger.bore in taken for $smaller.bore in is "worn" by the ratio of their constants, and the other way round',
    ({ larger, smaller }) => {
      const worn = judged(tableOf(larger), smaller.k);
      expect(worn.finding.cause).toBe('worn');
      expect(worn.size!.value / (larger.k / smaller.k)).toBeCloseTo(1, 2);
      const restricted = judged(tableOf(smaller), larger.k);
      expect(restricted.finding.cause).toBe('restricted');
      expect(restricted.size!.value / (smaller.k / larger.k)).toBeCloseTo(1, 2);
    },
  );
});

// Hydraulic Institute Engineering Data Library, "Losses in Nozzles": theoretical discharge (C = 1), Q = 19.636·C·d²·√h, h in ft = 2.31·psi.
describe('theoretical discharge of a half-inch nozzle', () => {
  const printed = [
    [10, 23.6],
    [15, 28.9],
    [20, 33.4],
    [25, 37.3],
    [30, 40.9],
  ] as const;
  const k = 19.636 * 0.5 ** 2 * Math.sqrt(2.31);

  it('shows no fault against its own formula', () => {
    expect(judged(printed, k).finding).toMatchObject({ cause: 'no fault shown', fits: true });
  });

  // The same page: real discharge is 90-95 % of the theoretical.
  it('a real one that gives 92 % of it is restricted by 8 %', () => {
    const real = judged(
      printed.map(([psi, gpm]) => [psi, 0.92 * gpm] as const),
      k,
    );
    expect(real.finding.cause).toBe('restricted');
    expect(real.size!.value).toBeCloseTo(0.92, 2);
  });
});

describe('leaks', () => {
  // Leak exponents 0.5 (fixed opening) to 1.5 (growing): Heckmann and Sievers, CCWI 2017; Q1/Q0 = (P1/P0)^N1: Water Loss Control, eq. 10.4.
  // Halved pressure, exponents 0.5 and 1.0: flow falls 29 % and 50 % (van Zyl 2007 as quoted); 1.5 computed from the same equation.
  it.each([
    [0.5, 0.29],
    [1, 0.5],
    [1.5, 0.646],
  ])(
    'the simulated leak with exponent %f loses its published share when the pressure is halved: %f',
    (n, falls) => {
      const leak = { kind: 'leaking' as const, share: 0.1, exponent: n };
      const at = (psi: number) => leakPast_m3_per_s([leak], 4.8e-8, psi * PSI_PA);
      expect(1 - at(30) / at(60)).toBeCloseTo(falls, 2);
    },
  );

  // Computed from the orifice law and exponent 1.5: Q = √P + 0.02·P^1.5 at P = 1, 2, 3, 4 has the log-log slope 0.54017.
  it('a leak of exponent 1.5 beside a fixed orifice is named leaking, though the gate’s leak has 1.25', () => {
    const flow = (p: number) => Math.sqrt(p) + 0.02 * p ** 1.5;
    const slope = (() => {
      const x = [1, 2, 3, 4].map(Math.log);
      const y = [1, 2, 3, 4].map((p) => Math.log(flow(p)));
      const mean = (v: readonly number[]) => v.reduce((a, b) => a + b, 0) / v.length;
      const [mx, my] = [mean(x), mean(y)];
      return (
        x.reduce((sum, xi, i) => sum + (xi - mx) * (y[i]! - my), 0) /
        x.reduce((sum, xi) => sum + (xi - mx) ** 2, 0)
      );
    })();
    expect(slope).toBeCloseTo(0.54017, 5);
    const table = [20, 30, 40, 50, 60].map((psi) => [psi, 0.06 * flow(psi / 15)] as const);
    const one = judged(table, 0.06 / Math.sqrt(15), 0.001);
    expect(one.finding.cause).toBe('leaking');
    // 0.02·4^1.5 over √4 at the highest setting.
    expect(Math.abs(one.size!.value - 0.08)).toBeLessThan(0.01);
  });

  // FAVAD form (formula from memory, so only the name is asked for): a leak with LN = 1 grows locally as about P^1.
  it('a leak that grows about as the pressure is named leaking', () => {
    const leak = (psi: number) => 0.02 * (Math.sqrt(psi / 60) + (psi / 60) ** 1.5);
    const table = [20, 30, 40, 50, 60].map((psi) => [psi, 0.4 * (Math.sqrt(psi / 60) + leak(psi))] as const);
    const one = judged(table, 0.4 / Math.sqrt(60), 0.001);
    expect(one.finding.cause).toBe('leaking');
  });
});
