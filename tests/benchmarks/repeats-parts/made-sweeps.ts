import type { CurveInput, CurvePoint, SettingProtocol } from '../../../src/analysis/curve/curve-point.ts';
import { findOutlier } from '../../../src/analysis/curve/find-outlier.ts';
import { fitNozzleCurve } from '../../../src/analysis/curve/nozzle-curve.ts';
import { PSI_PA } from '../../../src/base/units/constants.ts';
import { Random } from '../../../src/simulation/random.ts';

const TRUE_K = 4.8e-8;
const settings_psi = [20, 30, 40, 50, 60];

export interface MadeDesign {
  readonly name: string;
  readonly protocol: SettingProtocol;
  /** Own standard deviation of a catch, relative; of catch i where they differ. */
  readonly own: (i: number) => number;
  readonly dial_psi: number;
  /** Degrees of freedom of each catch's own figure, drawn as χ²/ν; Infinity: it is told. */
  readonly degreesOfFreedom: number;
  /** Read by a sensor: its noise in a mean, its shared offset, psi. */
  readonly sensor?: { readonly noise_psi: number; readonly shared_psi: number };
  /** Relative error put on one catch of each sweep. */
  readonly wild?: number;
}

export interface MadeScore {
  readonly sweeps: number;
  readonly coveragePercent: number;
  readonly medianHalfWidthPercent: number;
  readonly rmsErrorPercent: number;
  readonly rejectedAt5Percent: number;
  readonly exponentMean: number;
  readonly exponentCoveragePercent: number;
  readonly outlierPercent: number;
  /** Of the sweeps with one wild catch: that one was pointed at. */
  readonly rightOutlierPercent: number | null;
}

/** Curves from made flows: what the fit makes of stated and estimated doubts. `pooling` false: each catch's own estimate weighs it. */
export function madeSweeps(design: MadeDesign, sweeps: number, seed: number, pooling: boolean): MadeScore {
  const random = new Random(seed);
  const fits = Array.from({ length: sweeps }, () => {
    const input = made(design, random, pooling);
    const fit = fitNozzleCurve(input);
    if (!fit.ok) throw new Error(fit.because);
    return { curve: fit.value, outlier: findOutlier(input, fit.value) };
  });
  const errors = fits.map(({ curve }) => curve.nozzleConstant_m3_per_s_per_sqrtPa / TRUE_K - 1);
  const halves = fits.map(({ curve }) => curve.nozzleConstantExpanded95_m3_per_s_per_sqrtPa / TRUE_K);
  const percent = (holds: (i: number) => boolean): number =>
    (100 * fits.filter((_, i) => holds(i)).length) / sweeps;
  return {
    sweeps,
    coveragePercent: percent((i) => Math.abs(errors[i]!) <= halves[i]!),
    medianHalfWidthPercent: 100 * [...halves].sort((a, b) => a - b)[Math.floor(sweeps / 2)]!,
    rmsErrorPercent: 100 * Math.sqrt(errors.reduce((sum, e) => sum + e * e, 0) / sweeps),
    rejectedAt5Percent: percent((i) => (fits[i]!.curve.lackOfFit?.pValue ?? 1) < 0.05),
    exponentMean: fits.reduce((sum, { curve }) => sum + (curve.exponent ?? NaN), 0) / sweeps,
    exponentCoveragePercent: percent(
      (i) =>
        Math.abs((fits[i]!.curve.exponent ?? 9) - 0.5) <=
        1.96 * (fits[i]!.curve.exponentStandardUncertainty ?? 0),
    ),
    outlierPercent: percent((i) => fits[i]!.outlier !== null),
    rightOutlierPercent:
      design.wild === undefined ? null : percent((i) => fits[i]!.outlier?.index === WILD_CATCH),
  };
}

const WILD_CATCH = 7;

function made(design: MadeDesign, random: Random, pooling: boolean): CurveInput {
  const points: CurvePoint[] = [];
  const { sensor } = design;
  const offset_psi = (sensor?.shared_psi ?? 0) * random.normal();
  for (const setting of settings_psi) {
    let error = design.dial_psi * random.normal();
    for (let repeat = 0; repeat < 3; repeat++) {
      if (design.protocol === 're-set' && repeat > 0) error = design.dial_psi * random.normal();
      const i = points.length;
      const flow = TRUE_K * Math.sqrt((setting + error) * PSI_PA);
      const own = design.own(i);
      const wild = i === WILD_CATCH ? (design.wild ?? 0) : 0;
      const seen = Math.sqrt(chiSquareOver(design.degreesOfFreedom, random));
      const read_psi = setting + error + offset_psi + (sensor?.noise_psi ?? 0) * random.normal();
      points.push({
        pressure_Pa: (sensor === undefined ? setting : read_psi) * PSI_PA,
        setting_Pa: setting * PSI_PA,
        flow_m3_per_s: flow * (1 + own * random.normal() + wild),
        ownStandardUncertainty_m3_per_s: flow * own * seen,
        ownDegreesOfFreedom: design.degreesOfFreedom,
        ...(pooling ? {} : { estimated: { standardUncertainty_m3_per_s: 0, degreesOfFreedom: 1 } }),
        ...(sensor && { pressureStandardUncertainty_Pa: sensor.noise_psi * PSI_PA }),
        sharedRelativeStandardUncertainty: 0,
      });
    }
  }
  return {
    points,
    protocol: design.protocol,
    settingStandardUncertainty_Pa: (sensor?.shared_psi ?? design.dial_psi) * PSI_PA,
    ...(sensor && { pressureSharedStandardUncertainty_Pa: sensor.shared_psi * PSI_PA }),
    pressureMeasured: sensor !== undefined,
  };
}

function chiSquareOver(degreesOfFreedom: number, random: Random): number {
  if (degreesOfFreedom === Infinity) return 1;
  let sum = 0;
  for (let i = 0; i < degreesOfFreedom; i++) sum += random.normal() ** 2;
  return sum / degreesOfFreedom;
}
