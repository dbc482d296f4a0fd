import type { RigCheckKind } from '../analysis/diagnosis/evidence.ts';
import { rigCheckMark } from '../analysis/diagnosis/rig-check-mark.ts';
import { PSI_PA } from '../base/units/constants.ts';
import type { CaptureHeader } from '../signal/captures/header.ts';
import { captureDataLine, captureHeaderText, captureMarkLine } from '../signal/captures/write.ts';
import { LineSplitter } from '../signal/lines/line-splitter.ts';
import { emptyLoad_kg, playFills, type TrueFill } from './fills.ts';
import { headerFacts } from './header-facts.ts';
import { Instrument, scenarioOf, type InstrumentOptions } from './instrument.ts';
import { Pail } from './pail.ts';
import { Random } from './random.ts';
import { rigOf } from './rig-scenarios.ts';
import { Rig, usualDial, type RigFault, type SimulatedDial } from './rig.ts';
import { drawnRigCheck } from './true-rig-check.ts';
import { scenarioNamed, type ScenarioName } from './scenario.ts';
import { shownFlow_kg_per_s, volumeFlow_m3_per_s } from './water.ts';

export interface CaptureRequest {
  readonly scenario: ScenarioName;
  readonly seed: number;
  readonly fills: number;
  readonly instrument: InstrumentOptions;
  /** A sweep of one tip; absent: fills of any flow, without marks. */
  readonly sweep?: {
    /** Visited in rounds, each in a new random order. */
    readonly settings_Pa: readonly number[];
    readonly fault?: RigFault;
    /** More of them, all at once. */
    readonly faults?: readonly RigFault[];
    /** What the header says of the tip when it was sound, so that a finding can be made. Absent: nothing. */
    readonly reference?: {
      readonly nozzleConstant_m3_per_s_per_sqrtPa: number;
      readonly relativeStandardUncertainty: number;
      readonly from?: 'baseline' | 'rated' | 'drawer-tip';
    };
    /** Checks of the rig as they would come out, written as marks before the first catch. */
    readonly rigChecks?: readonly RigCheckKind[];
    /** Absent: a free knob good to 1.5 psi. */
    readonly dial?: SimulatedDial;
    /** What is stamped on the tip, and what it gave when new. Absent: an invented tip without a stamp. */
    readonly rated?: { readonly flow_m3_per_s: number; readonly pressure_Pa: number };
  };
}

export interface TruthLine {
  readonly start_s: number;
  readonly stop_s: number;
  readonly flow_m3_per_s: number;
  readonly setting_Pa?: number;
  readonly truePressure_Pa?: number;
}

/** Blank tip and gauge at the wand: the pressure that the dial shows then. */
const RIG_CHECKED_AT_PA = 60 * PSI_PA;
const INVENTED = { flow_m3_per_s: 2.5e-5, pressure_Pa: 40 * PSI_PA };
/** The dial is turned this long before the trigger opens: later than the end of any gap's lean, earlier than the mark's reach. */
const TURNED_BEFORE_S = 1.2;

/** A whole capture as text: header with the truth, the instrument's lines and, of a sweep, the marks of its settings. */
export function simulateCapture(request: CaptureRequest): string {
  const random = new Random(request.seed);
  const scenario = scenarioOf(request.instrument.kind, scenarioNamed(request.scenario));
  const pail = new Pail(scenario, random.stream('pail'), emptyLoad_kg(scenario, random.stream('bench')));
  const { sweep } = request;
  const rated = sweep?.rated ?? INVENTED;
  const dial = sweep?.dial ?? usualDial;
  const tip = {
    nozzleConstant_m3_per_s_per_sqrtPa: rated.flow_m3_per_s / Math.sqrt(rated.pressure_Pa),
    ...(sweep?.fault && { fault: sweep.fault }),
    ...(sweep?.faults && { faults: sweep.faults }),
  };
  const rig = new Rig(tip, dial, random.stream('dial'));
  const instrument = new Instrument(
    scenario,
    request.instrument,
    random,
    pail,
    (at_s) => rig.truePressure_Pa * pail.flowShare(at_s) ** 2,
  );
  const splitter = new LineSplitter({ startsAtLine: true });
  const lines: { readonly at_s: number; readonly text: string }[] = [];
  let ran_s = 0;
  const driven: { setting_Pa: number; truePressure_Pa: number }[] = [];
  const order = sweep ? visits(sweep.settings_Pa, request.fills, random.stream('order')) : [];

  const truth = playFills({
    scenario,
    random,
    pail,
    fills: request.fills,
    onSpray: ({ driftOver_s }) => (ran_s += driftOver_s),
    interval_s: instrument.scale.interval_s,
    runTo: (t_s) => {
      for (const chunk of instrument.advanceTo(t_s))
        for (const raw of splitter.push(chunk))
          lines.push({ at_s: raw.arrival_s, text: captureDataLine(raw) });
    },
    ...(sweep && {
      flowOf: (index: number, start_s: number): number => {
        const setting_Pa = order[index] ?? rated.pressure_Pa;
        const at_s = start_s - TURNED_BEFORE_S;
        if (dial.protocol === 're-set') rig.set(setting_Pa * 0.6);
        rig.set(setting_Pa);
        rig.drain({ water_min: ran_s / 60, sweepShare: index / Math.max(1, request.fills - 1) });
        driven.push({ setting_Pa, truePressure_Pa: rig.truePressure_Pa });
        lines.push({ at_s, text: captureMarkLine(at_s, { kind: 'setting', pressure_Pa: setting_Pa }) });
        return shownFlow_kg_per_s(rig.flow_m3_per_s);
      },
    }),
  });
  const { nozzleConstant_m3_per_s_per_sqrtPa: new_k } = tip;
  for (const kind of sweep?.rigChecks ?? []) {
    const found = drawnRigCheck(kind, rig.faults, new_k, RIG_CHECKED_AT_PA, random.stream(`check ${kind}`));
    lines.push({ at_s: 0, text: captureMarkLine(0, rigCheckMark(found)) });
  }
  lines.sort((a, b) => a.at_s - b.at_s);
  const facts = headerFacts(scenario, instrument.description(), sweep ? dial : null, 'invented');
  const header: CaptureHeader = {
    ...facts,
    ...rigOf(scenario, pail.beat_s),
    ...(sweep?.rated && {
      ratedFlow_m3_per_s: sweep.rated.flow_m3_per_s,
      ratedPressure_Pa: sweep.rated.pressure_Pa,
    }),
    ...(sweep?.reference && {
      referenceNozzleConstant_m3_per_s_per_sqrtPa: sweep.reference.nozzleConstant_m3_per_s_per_sqrtPa,
      referenceRelativeStandardUncertainty: sweep.reference.relativeStandardUncertainty,
      ...(sweep.reference.from && { referenceFrom: sweep.reference.from }),
    }),
    unknown: { truth: JSON.stringify(truth.map((fill, i) => truthLine(fill, driven[i]))) },
  };
  return captureHeaderText(header) + lines.map((line) => line.text).join('');
}

function truthLine(
  fill: TrueFill,
  driven: Pick<TruthLine, 'setting_Pa' | 'truePressure_Pa'> | undefined,
): TruthLine {
  return {
    start_s: rounded(fill.start_s),
    stop_s: rounded(fill.stop_s),
    flow_m3_per_s: volumeFlow_m3_per_s(fill.flow_kg_per_s),
    ...driven,
  };
}

function rounded(time_s: number): number {
  return Math.round(time_s * 1e6) / 1e6;
}

/** So many settings in rounds, each round in its own random order. */
function visits(settings_Pa: readonly number[], count: number, random: Random): number[] {
  const order: number[] = [];
  while (order.length < count) {
    const keyed = settings_Pa.map((setting_Pa) => ({ setting_Pa, key: random.fraction() }));
    keyed.sort((a, b) => a.key - b.key);
    order.push(...keyed.map(({ setting_Pa }) => setting_Pa));
  }
  return order.slice(0, count);
}
