/**
 * An invented rack, made from one law (flow = k·√pressure with a small scatter by index), so that no figure is typed in twice: tips of two
 * rigs with every kind of finding, a drift with a jump of the rig, and what two tips say together.
 */
import type {
  Diagnosis,
  DriftChart,
  DriftPoint,
  NoDiagnosis,
  RackCurve,
  RackRig,
  RackSweep,
  RackTip,
  RackView,
  TipAgainstTip,
  TipOrRig,
  TipsCompared,
} from '../../../web/contract.ts';
import { gpm, psi, SAMPLE_K } from './sample-sweep.ts';

const SETTINGS = [20, 30, 40, 50, 60].map(psi);
const WEEK_MS = 7 * 86_400_000;
/** 2026-11-26, noon in London. */
export const NOW_MS = Date.UTC(2026, 10, 26, 12);

const PRESSURES = Array.from({ length: 41 }, (_, step) => psi(14 + step * 1.3));

type FlowLaw = (pressure_Pa: number) => number;
const law =
  (k: number): FlowLaw =>
  (pressure_Pa) =>
    k * Math.sqrt(pressure_Pa);

export function sampleCurve(flow: FlowLaw, sweepId = 'sweep-1'): RackCurve {
  return {
    sweepId,
    pressures_Pa: PRESSURES,
    flow_m3_per_s: PRESSURES.map(flow),
    bandHalfWidth_m3_per_s: PRESSURES.map((pressure) => flow(pressure) * 0.012),
    settings: SETTINGS.map((setting_Pa, index) => ({
      setting_Pa,
      catches: [0, 1, 2].map((one) => index * 3 + one),
      flow_m3_per_s: flow(setting_Pa) * (1 + 0.003 * Math.sin(index * 1.7)),
      expandedUncertainty95_m3_per_s: flow(setting_Pa) * 0.013,
    })),
  };
}

/** Every cause far behind but the named one, so that the table has an order. */
const AICC: Diagnosis['finding']['evidence']['aicc'] = {
  'no fault shown': 62,
  worn: 60,
  restricted: 58,
  leaking: 56,
  'pump-limited': 54,
  'threshold-or-dial-high': 52,
  'dial-low': 50,
};

export function sampleDiagnosis(more: Partial<Diagnosis> & Pick<Diagnosis, 'said'>): Diagnosis {
  const cause =
    more.said === null
      ? 'worn'
      : more.said === 'dial-high' || more.said === 'check-valve' || more.said === 'dial-high-or-check-valve'
        ? 'threshold-or-dial-high'
        : more.said;
  const expected = law(SAMPLE_K)(psi(40));
  return {
    finding: {
      cause,
      orElse: null,
      fits: more.said !== null,
      evidence: { aicc: { ...AICC, [cause]: 12.3 }, gain: cause === 'no fault shown' ? 0 : 49.7 },
    },
    orElse: null,
    reference: {
      nozzleConstant_m3_per_s_per_sqrtPa: SAMPLE_K,
      relativeStandardUncertainty: 0.004,
      from: 'baseline',
    },
    gate: 7,
    size:
      cause === 'no fault shown' ? null : { of: 'constant-ratio', value: 1.09, expandedUncertainty95: 0.014 },
    modelFlow_m3_per_s: cause === 'no fault shown' ? [] : PRESSURES.map(law(SAMPLE_K * 1.09)),
    marks:
      cause === 'no fault shown'
        ? []
        : [
            {
              kind: 'whole-curve',
              pressure_Pa: psi(40),
              expectedFlow_m3_per_s: expected,
              flow_m3_per_s: expected * 1.09,
            },
          ],
    settledBy: cause === 'no fault shown' ? [] : ['second-sweep', 'measure-the-reference-again'],
    standing: cause === 'no fault shown' ? 'nothing-found' : 'look-again',
    flowLostBeforeTip: null,
    pressureMayBeLost: false,
    withOtherLeak: null,
    warnings: [],
    ...more,
  };
}

export const noReference: NoDiagnosis = {
  because: 'no-reference',
  settledBy: ['stamp-or-baseline', 'take-a-baseline'],
};

/** Slow wear of `perWeek`, with a scatter; limits from the fourth point on; the rig's jump in one week for all. */
export function sampleDrift(perWeek: number, jumpWeek: number | null = null): DriftChart {
  const points: DriftPoint[] = [];
  let average = 0;
  for (let week = 1; week <= 14; week += 1) {
    const sharedJump = week === jumpWeek ? 0.031 : week % 2 === 0 ? 0.001 : null;
    const deviation = perWeek * week + 0.004 * Math.sin(week * 2.1);
    average += 0.4 * (deviation - average);
    const limit = 3.6 * 0.005 * Math.sqrt(0.25 * (1 - 0.6 ** (2 * week)) + (1 - 0.6 ** week) ** 2 / 3);
    points.push({
      sweepId: `week-${week}`,
      at_ms: NOW_MS - (14 - week) * WEEK_MS,
      week,
      deviation,
      expandedUncertainty95: 0.009,
      average,
      limit,
      signals: Math.abs(average) > limit,
      sharedJump,
      leftOutBecause: null,
    });
  }
  const wears = perWeek > 0.002;
  return {
    points,
    baselineSweeps: 3,
    weight: 0.4,
    width: 3.6,
    weeklyStandardDeviation: 0.005,
    degreesOfFreedom: 20,
    limitsBecause: null,
    delay_weeks: { mean: 4.6, ninetyPercent: 6 },
    forecast: wears
      ? { week: 0.1 / perWeek, earliest: 0.08 / perWeek, latest: 0.13 / perWeek, perWeek }
      : null,
    forecastBecause: wears ? null : 'no-curve',
    limitRatio: 1.1,
    rigJumps:
      jumpWeek === null
        ? []
        : [
            {
              at_ms: NOW_MS - (14 - jumpWeek) * WEEK_MS,
              jump: 0.031,
              expandedUncertainty95: 0.008,
              tips: 4,
            },
          ],
    warnings: [],
  };
}

export function sampleTip(name: string, k: number, more: Partial<RackTip> = {}): RackTip {
  const key = `${more.simulated === true ? 'simulated' : 'measured'}:${name.toLowerCase()}`;
  const sweep = (weeksAgo: number, occasion: RackSweep['occasion']): RackSweep => ({
    sweepId: `${key}-${weeksAgo}`,
    at_ms: NOW_MS - weeksAgo * WEEK_MS,
    timeZone: 'Europe/London',
    rigName: more.rigName ?? 'green knapsack',
    occasion,
    timedByHand: false,
    catches: 15,
    nozzleConstant_m3_per_s_per_sqrtPa: k,
    nozzleConstantExpanded95_m3_per_s_per_sqrtPa: k * 0.012,
    settings: sampleCurve(law(k)).settings,
  });
  return {
    key,
    name,
    simulated: false,
    rigName: 'green knapsack',
    isoSize: null,
    drawer: false,
    retired: false,
    note: '',
    ratedFlow_m3_per_s: gpm(0.32),
    ratedPressure_Pa: psi(40),
    sweeps: [sweep(0, 'weekly-check'), sweep(1, 'weekly-check'), sweep(14, 'new-tip')],
    curve: sampleCurve(law(k)),
    baselineSweepIds: null,
    baseline: {
      nozzleConstant_m3_per_s_per_sqrtPa: SAMPLE_K,
      relativeStandardUncertainty: 0.004,
      sweepIds: [`${key}-14`],
      at_ms: NOW_MS - 14 * WEEK_MS,
      rigName: 'green knapsack',
    },
    baselineBecause: null,
    diagnosis: sampleDiagnosis({ said: 'no fault shown' }),
    diagnosisBecause: null,
    settledBy: [],
    drift: sampleDrift(0.0005, 9),
    driftBecause: null,
    warnings: [],
    ...more,
  };
}

const interval = (value: number, half: number) => ({
  value,
  standardUncertainty: half / 2,
  expandedUncertainty95: half,
});

/** Four tips that all give too little: mostly the rig's doing. */
export function sampleTipOrRig(tips: readonly RackTip[], more: Partial<TipOrRig> = {}): TipOrRig {
  return {
    since: 'baseline',
    sinceFrom_ms: NOW_MS - 14 * WEEK_MS,
    offset_Pa: interval(psi(-2.4), psi(1.1)),
    told: 'combined',
    gain: null,
    lostAtLargest: null,
    rigFactor: interval(0.968, 0.009),
    tips: tips.map(({ key }, index) => {
      const tipPart = index === 1 ? 1.088 : 1 - 0.006 * index;
      return {
        key,
        deviation: interval(0.96 * tipPart, 0.012),
        rigPart: interval(0.96, 0.011),
        tipPart: interval(tipPart, 0.016),
        blame: index === 1 ? 'tip' : 'rig',
        isAnchor: index === 3,
      };
    }),
    anchored: 'drawer-tip',
    fit: { chiSquare: 9, degreesOfFreedom: 11, pValue: 0.62 },
    warnings: [],
    ...more,
  };
}

export function sampleRack(): RackView {
  const worn = law(SAMPLE_K * 1.09);
  const tips: RackTip[] = [
    sampleTip('Tip 7, grey', SAMPLE_K, { isoSize: '06' }),
    sampleTip('Old brass', SAMPLE_K * 1.09, {
      isoSize: '03',
      diagnosis: sampleDiagnosis({ said: 'worn', standing: 'found-twice' }),
      settledBy: ['measure-the-reference-again'],
      curve: sampleCurve(worn),
      drift: sampleDrift(0.0065, 9),
    }),
    sampleTip('Wide fan', SAMPLE_K * 0.6, {
      diagnosis: sampleDiagnosis({
        said: 'restricted',
        pressureMayBeLost: true,
        size: { of: 'constant-ratio', value: 0.91, expandedUncertainty95: 0.02 },
        settledBy: ['wand-gauge', 'second-sweep'],
      }),
    }),
    sampleTip('Drawer tip', SAMPLE_K * 0.8, { drawer: true, note: 'never sprayed with' }),
    sampleTip('Found in the shed', SAMPLE_K * 1.4, {
      ratedFlow_m3_per_s: null,
      ratedPressure_Pa: null,
      baseline: null,
      baselineBecause: 'no-reference',
      diagnosis: null,
      diagnosisBecause: 'no-reference',
      settledBy: noReference.settledBy,
      drift: null,
      driftBecause: 'no-reference',
    }),
    sampleTip('Broken one', SAMPLE_K * 1.2, { retired: true }),
    sampleTip('Practice tip', SAMPLE_K, { simulated: true, rigName: 'invented rig' }),
  ];
  const rig: RackRig = {
    key: 'measured:green knapsack',
    name: 'green knapsack',
    simulated: false,
    tips: tips.slice(0, 4).map(({ key }) => key),
    checks: [
      {
        at_ms: NOW_MS - WEEK_MS,
        found: { kind: 'dial-at-zero', shown_Pa: psi(2), standardUncertainty_Pa: psi(0.7) },
      },
      {
        at_ms: NOW_MS - WEEK_MS,
        found: {
          kind: 'blank-tip',
          leak_m3_per_s: 2e-8,
          standardUncertainty_m3_per_s: 4e-9,
          pressure_Pa: psi(45),
        },
      },
    ],
    tipOrRig: sampleTipOrRig(tips.slice(0, 4)),
  };
  const lone: RackRig = {
    key: 'simulated:invented rig',
    name: 'invented rig',
    simulated: true,
    tips: [tips[6]!.key],
    checks: [],
    tipOrRig: { because: 'no-reference' },
  };
  return { tips, rigs: [rig, lone], unreadable: 0 };
}

/** `ratio` ± `half`, the verdict worked out from them. */
export function samplePair(tip: string, against: string, ratio: number, half: number): TipAgainstTip {
  const edges = [ratio * (1 - half), ratio * (1 + half)];
  const different = edges[0]! > 1 || edges[1]! < 1;
  return {
    tip,
    against,
    compared: {
      ratio,
      relativeStandardUncertainty: half / 2,
      degreesOfFreedom: 20,
      expandedUncertainty95: half,
      verdict: different ? 'different' : 'none-seen',
      largestDifference: Math.max(...edges.map((edge) => Math.abs(edge - 1))),
    },
    comparedBecause: null,
    notAlike: [],
    at: SETTINGS.map((pressure_Pa, index) => ({
      pressure_Pa,
      ratio: ratio * (1 + 0.003 * Math.sin(index)),
      expandedUncertainty95: half * 1.4,
    })),
    warnings: [],
  };
}

export function sampleCompared(tips: readonly RackTip[], againstKey: string): TipsCompared {
  const others = tips.filter(({ key }) => key !== againstKey);
  return {
    against: againstKey,
    pairs: others.map(({ key }, index) => ({
      ...samplePair(key, againstKey, index === 0 ? 1.09 : 1.002, 0.01),
      notAlike: index === 0 ? ['another-day'] : [],
    })),
    curves: tips.map(({ key, name, simulated, curve }) => ({ key, name, simulated, curve })),
  };
}
