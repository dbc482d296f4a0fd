import { analyseCurve } from '../analysis/sweep/analyse-curve.ts';
import type { AnalysedCatch } from '../analysis/sweep/analysis.ts';
import { estimatorVersion } from '../analysis/sweep/estimator-version.ts';
import { wholeUncertainty } from '../analysis/flow/catch-uncertainty.ts';
import { PSI_PA } from '../base/units/constants.ts';
import type { BenchRecord, ShownResult } from '../records/bench-record.ts';
import type { Envelope } from '../records/envelope.ts';
import type { RigSetup, SweepSetup } from '../records/sweep-setup.ts';
import { captureHeaderText } from '../signal/captures/write.ts';
import type { CaptureHeader } from '../signal/captures/header.ts';
import type { Random } from './random.ts';
import type { RigFault } from './rig-fault.ts';
import { Rig, type SimulatedDial } from './rig.ts';

/** A rig of the season: what the person tells of it, and how its dial really is. */
export interface SeasonRig {
  readonly setup: RigSetup;
  readonly dial: SimulatedDial;
}

export interface SeasonTip {
  readonly name: string;
  readonly nozzleConstant_m3_per_s_per_sqrtPa: number;
  readonly ratedFlow_m3_per_s: number | null;
}

export interface SweepOrder {
  readonly at_ms: number;
  readonly rig: SeasonRig;
  readonly tip: SeasonTip;
  readonly faults: readonly RigFault[];
  readonly occasion: SweepSetup['occasion'];
  readonly settings_Pa: readonly number[];
}

/** Own scatter of a catch by its readings, and what its jet may drift: as a guided wand on a 1 g scale. */
const CATCH_U = 0.0025;
const JET_U = 0.0015;
/** Temperature, clock and the scale's factor together. */
const SHARED_U = 0.0006;
const CATCHES = 3;
const CATCH_s = 30;
/** Between two catches: emptied, turned, waited. */
const EACH_s = 75;

/**
 * One sweep as it would stand in the book: its beginning, each catch, its end. Flows are the simulated rig's at the pressure its dial
 * really gives, with the scatter of a catch put on; no readings are made, for months of them would take minutes.
 * @param dialRandom the same for all sweeps of a dial that clicks: it comes back to the same wrong pressures.
 */
export function seasonSweep(
  order: SweepOrder,
  random: Random,
  dialRandom: Random,
  envelope: (sweepId: string | null, at_ms: number) => Envelope,
): readonly BenchRecord[] {
  const { rig, tip, faults, settings_Pa, at_ms } = order;
  const setup = setupOf(order);
  const begin = envelope(null, at_ms);
  const header = headerOf(order, begin.id);
  const turning = rig.dial.protocol === 're-set';
  const simulated = new Rig({ ...tip, faults }, rig.dial, turning ? random.stream('dial') : dialRandom);
  const order_Pa = Array.from({ length: CATCHES }, () => settings_Pa).flat();
  const catches = order_Pa.map((setting_Pa, index): AnalysedCatch => {
    // Turned away and back, so that a free knob lands anew.
    simulated.set(10 * PSI_PA);
    simulated.set(setting_Pa);
    const flow = simulated.flow_m3_per_s * (1 + Math.hypot(CATCH_U, JET_U) * random.normal());
    return analysed(index, setting_Pa, flow, random);
  });
  return [
    {
      ...begin,
      kind: 'sweep',
      setup,
      instrument: { kind: 'scale', bareUnit: 'g', averagedReadings: 4 },
      captureHeader: captureHeaderText(header),
      order_Pa,
      trueNozzleConstant_m3_per_s_per_sqrtPa: simulated.trueNozzleConstant_m3_per_s_per_sqrtPa,
    },
    ...catches.map((shown, index): BenchRecord => ({
      ...envelope(begin.id, at_ms + 1000 * shown.stop_s),
      kind: 'catch',
      index,
      start_s: shown.start_s,
      stop_s: shown.stop_s,
      setting_Pa: shown.setting_Pa,
      shown,
      estimatorVersion,
    })),
    {
      ...envelope(begin.id, at_ms + 1000 * EACH_s * catches.length),
      kind: 'sweep-end',
      because: 'done',
      shown: shownOf(catches, header),
      marks: null,
    },
  ];
}

function analysed(index: number, setting_Pa: number, flow: number, random: Random): AnalysedCatch {
  const start_s = 20 + EACH_s * index;
  const density = 998.6;
  const parts = {
    // As estimated from one fill: four degrees of freedom.
    typeA_m3_per_s: flow * CATCH_U * Math.sqrt(chiSquareOver4(random)),
    typeADegreesOfFreedom: 4,
    jetAllowance_m3_per_s: flow * JET_U,
    ownTypeB_m3_per_s: 0,
    sharedTypeB_m3_per_s: flow * SHARED_U,
  };
  const whole = wholeUncertainty(parts);
  return {
    start_s,
    stop_s: start_s + CATCH_s,
    setting_Pa,
    pressure_Pa: null,
    pressureBecause: 'no-sensor',
    pour: index + 1,
    mass_kg: flow * density * CATCH_s,
    massFlow_kg_per_s: flow * density,
    flow_m3_per_s: flow,
    flowFrom: 'mass',
    ...parts,
    standardUncertainty_m3_per_s: whole.standardUncertainty,
    degreesOfFreedom: whole.degreesOfFreedom,
    expandedUncertainty95_m3_per_s: whole.expandedUncertainty95,
    drip_m3_per_s: null,
    dripBecause: 'no-quiet-after',
    struck: false,
    voidBecause: null,
    warnings: [],
  };
}

function chiSquareOver4(random: Random): number {
  let sum = 0;
  for (let i = 0; i < 4; i++) sum += random.normal() ** 2;
  return sum / 4;
}

function setupOf({ rig, tip, occasion, settings_Pa }: SweepOrder): SweepSetup {
  return {
    tip: {
      name: tip.name,
      ratedFlow_m3_per_s: tip.ratedFlow_m3_per_s,
      ratedPressure_Pa: tip.ratedFlow_m3_per_s === null ? null : 40 * PSI_PA,
    },
    rig: rig.setup,
    settings_Pa,
    catchesPerSetting: CATCHES,
    order: 'as-listed',
    orderSeed: 1,
    targetRelative: 0.005,
    waterTemperature_degC: 17,
    protocol: 'each-catch',
    settingsFrom: 'prompts',
    occasion,
    routine: null,
  };
}

function headerOf(order: SweepOrder, sweepId: string): CaptureHeader {
  const { tip, rig } = setupOf(order);
  return {
    instrument: 'scale',
    unit: 'g',
    startedAt: new Date(order.at_ms).toISOString(),
    waterTemperature_degC: 17,
    averagedReadings: 4,
    scaleFactor: 1.0004,
    scaleFactorFrom: 'mass-pieces',
    scaleFactorRelativeStandardUncertainty: 0.0004,
    settingStandardUncertainty_Pa: rig.settingStandardUncertainty_Pa,
    settingProtocol: order.rig.dial.protocol,
    wand: rig.wand,
    tip: tip.name,
    rig: rig.name,
    sweepId,
    simulated: true,
    ...(tip.ratedFlow_m3_per_s === null ? {} : { ratedFlow_m3_per_s: tip.ratedFlow_m3_per_s }),
    ...(tip.ratedPressure_Pa === null ? {} : { ratedPressure_Pa: tip.ratedPressure_Pa }),
    ...(rig.plumbing?.gaugeAt == null ? {} : { gaugeAt: rig.plumbing.gaugeAt }),
    ...(rig.plumbing?.hoseLength_m == null ? {} : { hoseLength_m: rig.plumbing.hoseLength_m }),
    ...(rig.plumbing?.hoseBore_m == null ? {} : { hoseBore_m: rig.plumbing.hoseBore_m }),
    ...(rig.plumbing?.tipAboveGauge_m == null ? {} : { tipAboveGauge_m: rig.plumbing.tipAboveGauge_m }),
    unknown: {},
  };
}

function shownOf(catches: readonly AnalysedCatch[], header: CaptureHeader): ShownResult {
  const { picture, because } = analyseCurve(catches, {
    protocol: header.settingProtocol ?? 're-set',
    settingStandardUncertainty_Pa: header.settingStandardUncertainty_Pa ?? 0,
    pressureFullScale_Pa: null,
    ratedFlow_m3_per_s: header.ratedFlow_m3_per_s ?? null,
    ratedPressure_Pa: header.ratedPressure_Pa ?? null,
    noCatchesBecause: 'no-catches',
  });
  return {
    estimatorVersion,
    curve: picture?.curve ?? null,
    curveBecause: because,
    nozzleConstantExpanded95_m3_per_s_per_sqrtPa:
      picture?.nozzleConstantExpanded95_m3_per_s_per_sqrtPa ?? null,
    rated: picture?.rated ?? null,
    warnings: ['simulated'],
  };
}
