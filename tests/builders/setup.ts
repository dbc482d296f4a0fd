import { PSI_PA } from '../../src/base/units/constants.ts';
import type { SweepSetup } from '../../src/session/sweep-setup.ts';

export function psi(...values: number[]): number[] {
  return values.map((value) => value * PSI_PA);
}

export function aSetup(changes: Partial<SweepSetup> = {}): SweepSetup {
  return {
    tip: { name: 'grey tip 7', ratedFlow_m3_per_s: null, ratedPressure_Pa: null },
    rig: {
      name: 'green knapsack',
      control: 'turns-freely',
      settingStandardUncertainty_Pa: 1.5 * PSI_PA,
      scaleLimit_kg: 15,
      pailVolume_m3: 0.012,
      wand: 'guided',
      kind: 'held',
      strokePeriod_s: null,
      standsOnScale: 'pail',
      plumbing: null,
    },
    settings_Pa: psi(20, 30, 40, 50, 60),
    catchesPerSetting: 3,
    order: 'random',
    orderSeed: 11,
    targetRelative: 0.005,
    waterTemperature_degC: 18,
    protocol: 'each-catch',
    settingsFrom: 'prompts',
    occasion: 'sweep',
    routine: null,
    ...changes,
  };
}
