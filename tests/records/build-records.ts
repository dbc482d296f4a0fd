import type { RigCheckFound } from '../../src/analysis/diagnosis/evidence.ts';
import type { AnalysedCatch } from '../../src/analysis/sweep/analysis.ts';
import type {
  ByHandSweepRecord,
  CatchRecord,
  CatchWithdrawnRecord,
  RigCheckRecord,
  ShownResult,
  StrikeRecord,
  SweepEndRecord,
  SweepRecord,
  TipRecord,
  UndoStrikeRecord,
} from '../../src/records/bench-record.ts';
import type { InstrumentCheckRecord, KeptCheck } from '../../src/records/instrument-check.ts';
import type { SweepSetup } from '../../src/records/sweep-setup.ts';

/** A valid version 7 UUID out of a small number: `anId(3)` is always the same and ascends with the number. */
export function anId(number: number): string {
  return `01900000-0000-7000-8000-${number.toString(16).padStart(12, '0')}`;
}

const START_ms = 1_777_885_920_000;

export function anEnvelope(number: number, sweep: number) {
  return {
    id: anId(number),
    recordVersion: 3,
    sweepId: anId(sweep),
    recordedAt_ms: START_ms + 1000 * number,
    timeZone: 'America/Chicago',
    replaces: null,
    simulated: true,
    appVersion: '0.1.0',
  } as const;
}

export const aSetup: SweepSetup = {
  tip: { name: 'left knapsack', ratedFlow_m3_per_s: 2.5236e-5, ratedPressure_Pa: 275790 },
  rig: {
    name: 'knapsack',
    control: 'turns-freely',
    settingStandardUncertainty_Pa: 10342,
    scaleLimit_kg: 10,
    pailVolume_m3: 0.01,
    wand: 'guided',
    kind: 'held',
    strokePeriod_s: null,
    standsOnScale: 'pail',
    plumbing: null,
  },
  settings_Pa: [137895, 275790],
  catchesPerSetting: 2,
  order: 'random',
  orderSeed: 7,
  targetRelative: 0.005,
  waterTemperature_degC: 18,
  protocol: 'each-catch',
  settingsFrom: 'prompts',
  occasion: 'sweep',
  routine: null,
};

export const aResult: ShownResult = {
  estimatorVersion: '1',
  curve: {
    used: [0, 1],
    nozzleConstant_m3_per_s_per_sqrtPa: 4.8e-8,
    nozzleConstantStandardUncertainty_m3_per_s_per_sqrtPa: 2e-10,
    degreesOfFreedom: 1,
    exponent: null,
    exponentBecause: 'too-few-settings',
    exponentStandardUncertainty: null,
    exponentStandardUncertaintyBecause: 'too-few-settings',
    lackOfFit: { chiSquare: 0.4, degreesOfFreedom: 1, pValue: 0.52 },
    residuals_m3_per_s: [1e-8, -1e-8],
  },
  curveBecause: null,
  nozzleConstantExpanded95_m3_per_s_per_sqrtPa: 2.5e-9,
  rated: {
    ratedFlow_m3_per_s: 2.5236e-5,
    ratedPressure_Pa: 275790,
    ratio: 0.999,
    ratioExpandedUncertainty95: 0.02,
    limitRatio: 1.1,
    verdict: 'below-limit',
  },
  warnings: ['simulated'],
};

export const anAnalysedCatch: AnalysedCatch = {
  start_s: 4.31,
  stop_s: 31.02,
  setting_Pa: 275790,
  pressure_Pa: null,
  pressureBecause: 'no-sensor',
  pour: 1,
  mass_kg: 0.672,
  massFlow_kg_per_s: 0.02514,
  flow_m3_per_s: 2.521e-5,
  flowFrom: 'mass',
  typeA_m3_per_s: 1.9e-8,
  typeADegreesOfFreedom: 4,
  jetAllowance_m3_per_s: 5e-9,
  ownTypeB_m3_per_s: 4e-9,
  sharedTypeB_m3_per_s: 3e-9,
  standardUncertainty_m3_per_s: 2.1e-8,
  degreesOfFreedom: 4.2,
  expandedUncertainty95_m3_per_s: 5.7e-8,
  drip_m3_per_s: 1e-9,
  struck: false,
  voidBecause: null,
  warnings: ['scale-not-checked'],
};

export function aSweep(number: number, with_: Partial<SweepRecord> = {}): SweepRecord {
  return {
    ...anEnvelope(number, number),
    kind: 'sweep',
    setup: aSetup,
    instrument: { kind: 'scale', bareUnit: 'g', averagedReadings: 4 },
    captureHeader: '#catchbench-capture 1\n# instrument: scale\n',
    order_Pa: [275790, 137895, 137895, 275790],
    trueNozzleConstant_m3_per_s_per_sqrtPa: 4.8e-8,
    ...with_,
  };
}

export function aCatch(
  number: number,
  sweep: number,
  index: number,
  with_: Partial<CatchRecord> = {},
): CatchRecord {
  const start_s = with_.start_s ?? 10 + 60 * index;
  return {
    ...anEnvelope(number, sweep),
    kind: 'catch',
    index,
    start_s,
    stop_s: start_s + 26,
    setting_Pa: 275790,
    shown: { ...anAnalysedCatch, start_s, stop_s: start_s + 26 },
    estimatorVersion: '1',
    ...with_,
  };
}

export function aWithdrawal(
  number: number,
  sweep: number,
  start_s: number,
  of: number,
): CatchWithdrawnRecord {
  return {
    ...anEnvelope(number, sweep),
    kind: 'catch-withdrawn',
    start_s,
    because: 'pail-pushed',
    replaces: anId(of),
  };
}

export function aStrike(number: number, sweep: number, start_s: number): StrikeRecord {
  return { ...anEnvelope(number, sweep), kind: 'strike', start_s, reason: 'wand slipped' };
}

export function anUndoneStrike(number: number, sweep: number, start_s: number, of: number): UndoStrikeRecord {
  return { ...anEnvelope(number, sweep), kind: 'undo-strike', start_s, replaces: anId(of) };
}

export function aSweepEnd(number: number, sweep: number): SweepEndRecord {
  return {
    ...anEnvelope(number, sweep),
    kind: 'sweep-end',
    because: 'done',
    shown: aResult,
    marks: '1.0000\t!setting 275790\n',
  };
}

export const someChecks: readonly KeptCheck[] = [
  {
    kind: 'scale',
    from: 'mass-pieces',
    factor: 1.0012,
    relativeStandardUncertainty: 1.6e-4,
    ownRelativeStandardUncertainty: 8e-5,
    relativeExpandedUncertainty95: 3.4e-4,
    degreesOfFreedom: 21.5,
    verdict: 'off',
    error_kg: -0.006,
    loads: [
      { reference_kg: 2, shown_kg: 1.9976, residual_kg: 1e-5, standardUncertainty_kg: 3e-4 },
      { reference_kg: 5, shown_kg: 4.994, residual_kg: -1e-5, standardUncertainty_kg: 4e-4 },
    ],
    straightness: {
      chiSquare: 0.4,
      degreesOfFreedom: 1,
      pValue: 0.53,
      largestResidual_kg: 1e-5,
      curved: false,
    },
    zeroReturn_kg: 0,
    explainingTilt_deg: 2.8,
    step_kg: 1e-3,
    warnings: ['scale-off', 'scale-perhaps-tilted'],
    decision: 'correct',
    drift: { relative: 1e-4, standardUncertainty: 1.1e-4, moved: false },
  },
  {
    kind: 'meter',
    pulsesPerCubicMetre: 451_200,
    pulsesPerCubicMetreStandardUncertainty: 700,
    offset_Hz: 0.9,
    offsetStandardUncertainty_Hz: 0.02,
    correlation: 0.93,
    referenceRelativeStandardUncertainty: 2e-4,
    lowestFlow_m3_per_s: 8.3e-6,
    highestFlow_m3_per_s: 3.3e-5,
    points: 15,
    reducedChiSquare: 0.8,
    warnings: [],
  },
  { kind: 'clock', ratio: 0.9982, standardUncertainty: 1.1e-4, watched_s: 62.1 },
  { kind: 'pressure', known_Pa: 400_000, zero_Pa: 2_100, gain: 0.994, standardUncertainty_Pa: 2_050 },
];

/** Of no sweep: its own. */
export function anInstrumentCheck(
  number: number,
  check: KeptCheck,
  sweep: number = number,
): InstrumentCheckRecord {
  return {
    ...anEnvelope(number, sweep),
    kind: 'instrument-check',
    instrument: { kind: 'scale', bareUnit: 'g', averagedReadings: 4 },
    check,
  };
}

export function aByHandSweep(number: number): ByHandSweepRecord {
  return {
    ...anEnvelope(number, number),
    kind: 'by-hand-sweep',
    simulated: false,
    setup: aSetup,
    catches: [{ setting_Pa: 275790, duration_s: 30.2, volume_m3: 7.6e-4, markSpacing_m3: 1e-4 }],
    shown: aResult,
  };
}

export const someRigChecks: readonly RigCheckFound[] = [
  { kind: 'dial-at-zero', shown_Pa: 27_600, standardUncertainty_Pa: 4_800 },
  { kind: 'flow-stops-at', shown_Pa: 55_000, standardUncertainty_Pa: 6_900 },
  { kind: 'blank-tip', leak_m3_per_s: 2e-7, standardUncertainty_m3_per_s: 5e-8, pressure_Pa: 413_685 },
  { kind: 'wand-gauge', setting_Pa: 275_790, wand_Pa: 251_000, standardUncertainty_Pa: 5_000 },
  {
    kind: 'sag-test',
    setting_Pa: 275_790,
    flowLostRelative: 0.021,
    relativeStandardUncertainty: 0.003,
    sprayed_s: 152,
  },
];

export function aRigCheck(number: number, found: RigCheckFound, sweep: number = number): RigCheckRecord {
  return { ...anEnvelope(number, sweep), kind: 'rig-check', rigName: 'knapsack', found };
}

export function aTip(number: number, with_: Partial<TipRecord> = {}): TipRecord {
  return {
    ...anEnvelope(number, number),
    kind: 'tip',
    name: 'left knapsack',
    isoSize: '02',
    drawer: false,
    retired: false,
    note: '',
    baselineSweepIds: null,
    ...with_,
  };
}
