/** An invented sweep half-way, made from a law so that no figure is typed in twice: flow = k·√pressure, a little scatter by index. */
import type { CatchView, CurvePicture, SweepSetup, SweepView } from '../../../web/contract.ts';
import { shownUnits } from '../../../web/wording/units.ts';

const { pressure, flow } = shownUnits.us;
export const psi = (value: number): number => pressure.toSI(value);
export const gpm = (value: number): number => flow.toSI(value);
/** Invented: 0.34 gal/min at 40 psi. */
export const SAMPLE_K = gpm(0.34) / Math.sqrt(psi(40));

export const sampleSetup: SweepSetup = {
  tip: { name: 'Tip 7, grey', ratedFlow_m3_per_s: gpm(0.32), ratedPressure_Pa: psi(40) },
  rig: {
    name: 'green knapsack',
    control: 'turns-freely',
    settingStandardUncertainty_Pa: psi(1.5),
    scaleLimit_kg: 18,
    pailVolume_m3: 0.019,
    wand: 'guided',
    kind: 'held',
    strokePeriod_s: null,
    standsOnScale: 'pail',
    plumbing: null,
  },
  settings_Pa: [20, 30, 40, 50, 60].map(psi),
  catchesPerSetting: 3,
  order: 'random',
  orderSeed: 1,
  targetRelative: 0.005,
  waterTemperature_degC: 18,
  protocol: 'each-catch',
  settingsFrom: 'prompts',
  occasion: 'sweep',
  routine: null,
};

export function sampleCatch(index: number, setting_psi: number, more: Partial<CatchView> = {}): CatchView {
  const scatter = 1 + 0.004 * Math.sin(index * 2.3);
  const flow_m3_per_s = SAMPLE_K * Math.sqrt(psi(setting_psi)) * scatter;
  return {
    index,
    struckReason: null,
    start_s: 10 + index * 45,
    stop_s: 10 + index * 45 + 26,
    setting_Pa: psi(setting_psi),
    pressure_Pa: null,
    pressureBecause: 'no-sensor',
    pour: index,
    mass_kg: flow_m3_per_s * 26 * 998,
    massFlow_kg_per_s: flow_m3_per_s * 998,
    flow_m3_per_s,
    flowFrom: 'mass',
    typeA_m3_per_s: flow_m3_per_s * 0.0012,
    typeADegreesOfFreedom: 6,
    jetAllowance_m3_per_s: flow_m3_per_s * 0.0008,
    ownTypeB_m3_per_s: flow_m3_per_s * 0.0002,
    sharedTypeB_m3_per_s: flow_m3_per_s * 0.002,
    standardUncertainty_m3_per_s: flow_m3_per_s * 0.0025,
    degreesOfFreedom: 30,
    expandedUncertainty95_m3_per_s: flow_m3_per_s * 0.0051,
    drip_m3_per_s: 2e-9,
    struck: false,
    voidBecause: null,
    warnings: [],
    ...more,
  };
}

export function samplePicture(catches: readonly CatchView[]): CurvePicture {
  const settings = [...new Set(catches.map(({ setting_Pa }) => setting_Pa!))].map((setting_Pa) => {
    const here = catches.filter(
      (one) => one.setting_Pa === setting_Pa && !one.struck && one.voidBecause === null,
    );
    const mean = here.reduce((sum, one) => sum + one.flow_m3_per_s!, 0) / here.length;
    return {
      setting_Pa,
      catches: here.map(({ index }) => index),
      flow_m3_per_s: mean,
      expandedUncertainty95_m3_per_s: mean * 0.012,
    };
  });
  const pressures_Pa = Array.from({ length: 41 }, (_, step) => psi(12 + step * 1.3));
  const flow_m3_per_s = pressures_Pa.map((value) => SAMPLE_K * Math.sqrt(value));
  return {
    curve: {
      used: catches.map(({ index }) => index),
      nozzleConstant_m3_per_s_per_sqrtPa: SAMPLE_K,
      nozzleConstantStandardUncertainty_m3_per_s_per_sqrtPa: SAMPLE_K * 0.006,
      degreesOfFreedom: 9,
      exponent: 0.497,
      exponentStandardUncertainty: 0.012,
      lackOfFit: { chiSquare: 8, degreesOfFreedom: 9, pValue: 0.53 },
      residuals_m3_per_s: catches.map(() => 0),
    },
    pressures_Pa,
    flow_m3_per_s,
    bandHalfWidth_m3_per_s: flow_m3_per_s.map((value) => value * 0.013),
    nozzleConstantExpanded95_m3_per_s_per_sqrtPa: SAMPLE_K * 0.014,
    settings,
    rated: {
      ratedFlow_m3_per_s: gpm(0.32),
      ratedPressure_Pa: psi(40),
      ratio: 0.34 / 0.32,
      ratioExpandedUncertainty95: 0.03,
      limitRatio: 1.1,
      verdict: 'below-limit',
    },
    dialRepeats: null,
    outlier: null,
    ratedBecause: null,
  };
}

/** Catch 2 of 3 at 40 psi is running; 60, 50 and 20 psi are finished, one catch was void, 30 psi is still to do. */
export function sampleSweep(more: Partial<SweepView> = {}): SweepView {
  const good = [60, 50, 20, 60, 50, 20, 60, 50, 20, 40].map((setting, index) => sampleCatch(index, setting));
  const gone = sampleCatch(10, 30, {
    flow_m3_per_s: null,
    flowBecause: 'catch-is-void',
    expandedUncertainty95_m3_per_s: null,
    drip_m3_per_s: null,
    voidBecause: 'lifted-while-filling',
  });
  const flow_m3_per_s = SAMPLE_K * Math.sqrt(psi(40));
  return {
    sweepId: 'sweep-1',
    setup: sampleSetup,
    simulated: true,
    trueNozzleConstant_m3_per_s_per_sqrtPa: null,
    phase: 'filling',
    prompt: { kind: 'keep-spraying', setting_Pa: psi(40) },
    nextPrompt: { kind: 'set-and-spray', setting_Pa: psi(30), turnAwayFirst: true, sameAgain: false },
    settingNow_Pa: psi(40),
    ordinal: 2,
    running: {
      start_s: 100,
      elapsed_s: 18,
      flow_m3_per_s,
      expanded_m3_per_s: gpm(0.003),
      targetRelative: 0.005,
      progress: 0.62,
      secondsLeft: 6,
      caught_kg: 0.4,
    },
    plan: [20, 30, 40, 50, 60].map((setting) => ({
      setting_Pa: psi(setting),
      wanted: 3,
      done: { 20: 3, 30: 0, 40: 1, 50: 3, 60: 3 }[setting] ?? 0,
    })),
    catches: [...good, gone],
    picture: samplePicture(good),
    budgets: null,
    pictureBecause: null,
    warnings: ['scale-not-checked', 'simulated'],
    pail: { level_kg: 6.2, room_kg: 9.1 },
    notKept: null,
    ...more,
  };
}

export function doneSweep(): SweepView {
  const catches = [60, 50, 20, 40, 30, 60, 50, 20, 40, 30, 60, 50, 20, 40, 30].map((setting, index) =>
    sampleCatch(index, setting),
  );
  return sampleSweep({
    phase: 'done',
    prompt: { kind: 'done' },
    nextPrompt: null,
    settingNow_Pa: null,
    running: null,
    plan: [20, 30, 40, 50, 60].map((setting) => ({ setting_Pa: psi(setting), wanted: 3, done: 3 })),
    catches,
    picture: samplePicture(catches),
    trueNozzleConstant_m3_per_s_per_sqrtPa: SAMPLE_K * 1.004,
  });
}
