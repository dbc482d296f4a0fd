import { describe, expect, it } from 'vitest';
import type { CurveInput } from '../../src/analysis/curve/curve-point.ts';
import { fitNozzleCurve } from '../../src/analysis/curve/nozzle-curve.ts';
import type { NozzleCurve } from '../../src/analysis/curve/nozzle-curve.ts';
import { predictFlow } from '../../src/analysis/curve/predict-flow.ts';
import { ordinaryLine } from '../../src/base/statistics/ordinary-line.ts';
import { applicationVolumeUnits } from '../../src/base/units/application-volume.ts';
import { PSI_PA } from '../../src/base/units/constants.ts';
import { flowUnits } from '../../src/base/units/flow.ts';
import { pressureUnits } from '../../src/base/units/pressure.ts';
import { volumeUnits } from '../../src/base/units/volume.ts';

const GPM = flowUnits.gal_per_min.toSi(1);
/** Shows a constant in gal/min per √psi, as the tables have it. */
const perRootPsi = (k: number) => (k * Math.sqrt(PSI_PA)) / GPM;

/** Table entries as catches: equal uncertainties (5e-4 of a gal/min) and pressures taken as exact, so that k = ΣQ√P/ΣP. */
function tableInput(pressures_psi: readonly number[], flows_gpm: readonly number[]): CurveInput {
  return {
    points: pressures_psi.map((pressure, i) => ({
      pressure_Pa: pressure * PSI_PA,
      setting_Pa: pressure * PSI_PA,
      flow_m3_per_s: flows_gpm[i]! * GPM,
      ownStandardUncertainty_m3_per_s: 5e-4 * GPM,
      sharedRelativeStandardUncertainty: 0,
    })),
    protocol: 're-set',
    settingStandardUncertainty_Pa: 0,
    pressureMeasured: false,
  };
}

function fitted(input: CurveInput): NozzleCurve {
  const fit = fitNozzleCurve(input);
  if (!fit.ok) throw new Error(fit.because);
  return fit.value;
}

function flowAt(curve: NozzleCurve, pressure_Pa: number): number {
  const flow = predictFlow(curve, pressure_Pa);
  if (!flow.ok) throw new Error(flow.because);
  return flow.value.flow_m3_per_s;
}

describe('sprinkler nozzle table', () => {
  // Source: irrigation flow-estimation extension sheet ("scr23"; method list as Oregon State Univ. Extension EC 1369).
  // Recomputed from the printed flows: k, the log-log slope, the exponent of least squares in flow (by a search over n in another
  // language), the largest departure from k√P in per cent.
  const pressures = [35, 40, 45, 50, 55];
  const rows: [string, number[], number, number, number, number][] = [
    ['9/64', [3.4, 3.63, 3.84, 4.04, 4.22], 0.57198, 0.4787, 0.47802, 0.52],
    ['5/32', [4.16, 4.45, 4.72, 4.98, 5.22], 0.70375, 0.5027, 0.50254, 0.08],
    ['11/64', [5.02, 5.37, 5.7, 6.01, 6.3], 0.84941, 0.503, 0.50278, 0.1],
    ['3/16', [5.97, 6.41, 6.81, 7.18, 7.51], 1.01337, 0.5086, 0.50708, 0.42],
    ['13/64', [7.08, 7.6, 8.07, 8.49, 8.87], 1.19957, 0.4992, 0.49724, 0.29],
    ['7/32', [8.26, 8.87, 9.41, 9.88, 10.3], 1.39706, 0.4886, 0.48605, 0.59],
  ];
  for (const [name, flows, k, slope, exponent, deviation] of rows) {
    it(`gives the constant, exponent and largest departure of the ${name} inch row`, () => {
      const curve = fitted(tableInput(pressures, flows));
      expect(perRootPsi(curve.nozzleConstant_m3_per_s_per_sqrtPa)).toBeCloseTo(k, 5);
      const logs = ordinaryLine(pressures.map(Math.log), flows.map(Math.log));
      expect(logs?.slope).toBeCloseTo(slope, 4);
      expect(curve.exponent).toBeCloseTo(exponent, 4);
      const largest = Math.max(
        ...flows.map((flow, i) => Math.abs((100 * flow * GPM) / flowAt(curve, pressures[i]! * PSI_PA) - 100)),
      );
      expect(largest).toBeCloseTo(deviation, 1);
    });
  }

  // Same sheet: 3/16 inch, 40 psi, 30 heads: 6.41 each, "about 190" in all; 192.3 by arithmetic.
  it('gives the 30 heads of the worked example within the half per cent that the row departs from a square root', () => {
    const curve = fitted(tableInput(pressures, rows[3]![1]));
    expect(Math.abs((30 * flowAt(curve, 40 * PSI_PA)) / GPM / 192.3 - 1)).toBeLessThan(0.005);
  });
});

describe('theoretical nozzle table', () => {
  // Source: Hydraulic Institute Engineering Data Library, edl.pumps.org, "Losses in Nozzles", C = 1.
  const pressures = [10, 15, 20, 25, 30];
  it('gives exponent one half from the printed jet velocities', () => {
    const jets = [38.6, 47.2, 54.5, 61, 66.8];
    expect(ordinaryLine(pressures.map(Math.log), jets.map(Math.log))?.slope).toBeCloseTo(0.4996, 4);
    expect(fitted(tableInput(pressures, jets)).exponent).toBeCloseTo(0.5, 2);
  });

  it('gives the formula constant 19.636 d² √2.31 from each printed flow column, within the rounding of the column', () => {
    for (const [diameter, flows, rounding] of [
      [0.25, [5.9, 7.2, 8.3, 9.3, 10.2], 0.05],
      [0.5, [23.6, 28.9, 33.4, 37.3, 40.9], 0.05],
      [1, [94, 116, 133, 149, 163], 0.5],
    ] as const) {
      const curve = fitted(tableInput(pressures, flows));
      const formula = 19.636 * diameter ** 2 * Math.sqrt(2.31);
      const k = perRootPsi(curve.nozzleConstant_m3_per_s_per_sqrtPa);
      expect(Math.abs(k - formula) * Math.sqrt(20)).toBeLessThan(rounding);
      expect(Math.abs(curve.exponent! - 0.5)).toBeLessThan((2 * rounding) / flows[2]);
    }
  });
});

describe('single worked examples of the square root', () => {
  const exact = (k: number, pressures: readonly number[]) =>
    fitted(
      tableInput(
        pressures,
        pressures.map((p) => k * Math.sqrt(p)),
      ),
    );

  // Source: fire-sprinkler reference pages (sprinklersystemauthority.com, calculatorlib.com), K = 5.6: seen, weak places.
  it('gives 14.82 gal/min at 7 psi and 39.6 at 50 psi for a constant of 5.6', () => {
    const curve = exact(5.6, [7, 20, 50]);
    expect(flowAt(curve, 7 * PSI_PA) / GPM).toBeCloseTo(14.8162, 4);
    expect(flowAt(curve, 50 * PSI_PA) / GPM).toBeCloseTo(39.598, 4);
    expect((60 * flowAt(curve, 50 * PSI_PA)) / GPM).toBeCloseTo(2375.88, 2);
  });

  // Source: US national core manual ch. 11 summary (pestcontroltests.com).
  it('doubles the flow at four times the pressure', () => {
    const curve = exact(0.03, [15, 30, 60]);
    expect(flowAt(curve, 60 * PSI_PA) / flowAt(curve, 15 * PSI_PA)).toBeCloseTo(2, 12);
  });

  // Arithmetic; the printed 1.23 of an answer page (questionai.com) is a bad rounding and must not come out.
  it('gives 1.2247 and not the published 1.23 for one unit of flow moved from 100 to 150 psi', () => {
    const curve = exact(0.1, [100, 140]);
    const flow = flowAt(curve, 150 * PSI_PA) / GPM;
    expect(flow).toBeCloseTo(1.2247, 4);
    expect(Math.round(flow * 100) / 100).toBe(1.22);
  });

  // Arithmetic: a tip marked 0.2 gal/min at 40 psi is not the 0.8 L/min of its metric namesake at 3 bar (1.3 % apart).
  it('gives 0.78961 L/min at 3 bar for 0.2 gal/min at 40 psi', () => {
    const curve = fitted(tableInput([40], [0.2]));
    expect(flowUnits.L_per_min.fromSi(flowAt(curve, pressureUnits.bar.toSi(3)))).toBeCloseTo(0.78961, 5);
  });

  // Arithmetic, inside the 0.71-0.79 window of Alberta Agriculture Agdex 606-1 p. 11.
  it('gives 0.76594 L/min at 275 kPa for 0.8 L/min at 300 kPa', () => {
    const curve = fitted(
      tableInput(
        [pressureUnits.psi.fromSi(300e3)],
        [flowUnits.gal_per_min.fromSi(flowUnits.L_per_min.toSi(0.8))],
      ),
    );
    const shown = flowUnits.L_per_min.fromSi(flowAt(curve, 275e3));
    expect(shown).toBeCloseTo(0.76594, 5);
    expect(shown).toBeGreaterThan(0.71);
    expect(shown).toBeLessThan(0.79);
  });

  // Arithmetic against a retailer's tip table, whose row 025 is copied from 03 (0.98).
  it('gives 0.8165 and not the published 0.98 L/min for 1.0 L/min at 3 bar moved to 2 bar', () => {
    const k =
      flowUnits.gal_per_min.fromSi(flowUnits.L_per_min.toSi(1)) / Math.sqrt(pressureUnits.psi.fromSi(3e5));
    const curve = exact(k, [pressureUnits.psi.fromSi(2e5), pressureUnits.psi.fromSi(3e5)]);
    expect(flowUnits.L_per_min.fromSi(flowAt(curve, 2e5))).toBeCloseTo(0.8165, 4);
  });
});

describe('published slips in units', () => {
  // Arithmetic from the definitions; printed slips: 30 mL per fl oz, 3,786 mL per gallon (UF/IFAS WG013), the turf constant 136.
  it('are not reproduced', () => {
    expect(volumeUnits.mL.fromSi(volumeUnits.fl_oz.toSi(1))).toBeCloseTo(29.5735, 4);
    expect(volumeUnits.mL.fromSi(volumeUnits.gal.toSi(1))).toBeCloseTo(3785.41, 2);
    const perTurf = applicationVolumeUnits.gal_per_acre.fromSi(
      applicationVolumeUnits.gal_per_1000_ft2.toSi(1),
    );
    expect(5940 / perTurf).toBeCloseTo(136.3636, 4);
  });

  // Source: Oklahoma State Univ.-OKC turf slides: 40 gal/ac is 0.92 gal/1000 ft².
  it('while 40 gal/ac is the published 0.92 gal/1000 ft²', () => {
    const shown = applicationVolumeUnits.gal_per_1000_ft2.fromSi(
      applicationVolumeUnits.gal_per_acre.toSi(40),
    );
    expect(shown).toBeCloseTo(0.91827, 5);
  });

  // Source: Oklahoma State turf sprayer sheet: 101 oz in 60 s is 0.79 gal/min.
  it('and 101 fl oz in a minute is the published 0.79 gal/min', () => {
    expect(flowUnits.gal_per_min.fromSi(flowUnits.fl_oz_per_min.toSi(101))).toBeCloseTo(0.789063, 6);
  });
});
