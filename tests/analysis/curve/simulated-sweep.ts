import { PSI_PA } from '../../../src/base/units/constants.ts';
import type { CurveInput, CurvePoint, SettingProtocol } from '../../../src/analysis/curve/curve-point.ts';

export const TRUE_K = 4.8e-8;

export interface SweepTruth {
  readonly protocol: SettingProtocol;
  readonly catchRelative: number;
  /** What one setting is truly worth, and what is stated. */
  readonly dial_psi: number;
  readonly statedDial_psi?: number;
  readonly sharedRelative?: number;
  readonly sharedOffset_psi?: number;
  readonly settings_psi?: readonly number[];
  readonly catchesPerSetting?: number;
  /** Flow from true pressure, if not k·√P. */
  readonly flow?: (pressure_Pa: number) => number;
}

/** One simulated sweep: 20/30/40/50/60 psi x 3 catches unless told otherwise (the design of the measurement tables). */
export function simulatedSweep(truth: SweepTruth, gaussian: () => number): CurveInput {
  const shared = (truth.sharedRelative ?? 0) * gaussian();
  const offset_psi = (truth.sharedOffset_psi ?? 0) * gaussian();
  const flowOf = truth.flow ?? ((pressure_Pa: number) => TRUE_K * Math.sqrt(pressure_Pa));
  const points: CurvePoint[] = [];
  for (const setting of truth.settings_psi ?? [20, 30, 40, 50, 60]) {
    let error = truth.dial_psi * gaussian();
    for (let i = 0; i < (truth.catchesPerSetting ?? 3); i++) {
      if (truth.protocol === 're-set' && i > 0) error = truth.dial_psi * gaussian();
      const flow = flowOf((setting + error + offset_psi) * PSI_PA);
      points.push({
        pressure_Pa: setting * PSI_PA,
        setting_Pa: setting * PSI_PA,
        flow_m3_per_s: flow * (1 + truth.catchRelative * gaussian()) * (1 + shared),
        ownStandardUncertainty_m3_per_s: flow * truth.catchRelative,
        sharedRelativeStandardUncertainty: truth.sharedRelative ?? 0,
      });
    }
  }
  return {
    points,
    protocol: truth.protocol,
    settingStandardUncertainty_Pa: (truth.statedDial_psi ?? truth.dial_psi) * PSI_PA,
    pressureMeasured: false,
  };
}
