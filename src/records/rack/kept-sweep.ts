import type { SharedPart } from '../../analysis/budget/budget.ts';
import { isMeterChecked } from '../../analysis/budget/meter-parts.ts';
import { scaleFactorOf, type LaterScaleCheck } from '../../analysis/budget/scale-factor.ts';
import { sharedOfFlow } from '../../analysis/budget/shared-of-flow.ts';
import { sharedParts } from '../../analysis/budget/shared-parts.ts';
import type { SweepFlows } from '../../analysis/drift/deviation.ts';
import { catchWater } from '../../analysis/flow/warm-water.ts';
import { rigFacts } from '../../analysis/rigs/rig-facts.ts';
import { analyseByHand } from '../../analysis/sweep/analyse-by-hand.ts';
import { ASSUMED_SETTING_U_Pa, analyseCurve } from '../../analysis/sweep/analyse-curve.ts';
import type { CurveAnswer } from '../../analysis/sweep/analyse-curve.ts';
import type { AnalysedCatch } from '../../analysis/sweep/analysis.ts';
import { estimatorVersion } from '../../analysis/sweep/estimator-version.ts';
import { analyseRigCurve } from '../../analysis/sweep/rig-sweep.ts';
import type { CaptureHeader } from '../../signal/captures/header.ts';
import { dialZeroOf, type TimedMark } from '../../analysis/sweep/marks.ts';
import { readHeaderAndMarks } from '../../signal/captures/read-header.ts';
import { marksWithChecks } from './marks-with-checks.ts';
import type { BenchRecord, ByHandSweepRecord, SweepRecord } from '../bench-record.ts';
import { standing, type StandingSweep } from '../standing.ts';
import type { SweepSetup } from '../sweep-setup.ts';
import { flowsOf } from './flows-of.ts';

/** A sweep of the book as the rack works with it: what stands of it, and its curve by the present estimators. */
export interface KeptSweep {
  readonly sweepId: string;
  /** When it began. */
  readonly at_ms: number;
  readonly timeZone: string;
  readonly simulated: boolean;
  readonly setup: SweepSetup;
  readonly timedByHand: boolean;
  /** Of a sweep timed by hand: what its set-up says. */
  readonly header: CaptureHeader;
  /** Of its capture, and checks of the rig that followed it. */
  readonly marks: readonly TimedMark[];
  /** Standing catches, struck ones marked so. */
  readonly catches: readonly AnalysedCatch[];
  readonly answer: CurveAnswer;
  readonly shared: readonly SharedPart[];
  readonly flowFrom: 'mass' | 'pulses';
  /** Equal texts: the same instrument. */
  readonly instrument: string;
  /** Null: no flow that counts. */
  readonly flows: SweepFlows | null;
}

/**
 * The records of one sweep, in any order → what the rack needs of it. Null for one that measured no single tip (a routine), that has no
 * beginning, or whose header can't be read.
 */
export function keptSweep(records: readonly BenchRecord[]): KeptSweep | null {
  const stands = standing(records);
  const begun = stands.byHand ?? stands.sweep;
  if (begun === null || begun.setup.routine !== null) return null;
  const at_ms = records.find((record) => record.id === begun.sweepId)?.recordedAt_ms ?? begun.recordedAt_ms;
  const read =
    stands.byHand === null ? byInstrument(stands, stands.sweep!, records) : byHand(stands.byHand, records);
  if (read === null) return null;
  const { sweepId, timeZone, simulated, setup } = begun;
  const kept = { sweepId, at_ms, timeZone, simulated, setup, timedByHand: stands.byHand !== null, ...read };
  return { ...kept, flows: flowsOf(kept) };
}

type Read = Pick<
  KeptSweep,
  'header' | 'marks' | 'catches' | 'answer' | 'shared' | 'flowFrom' | 'instrument'
> & { readonly instrumentChecked: boolean };

function byInstrument(
  { catches, end }: StandingSweep,
  sweep: SweepRecord,
  records: readonly BenchRecord[],
): Read | null {
  const read = readHeaderAndMarks(sweep.captureHeader, end?.marks ?? '');
  if (!read.ok) return null;
  const { header, marks } = read.value;
  const later = scaleChecks(marks);
  const water = catchWater(header.waterTemperature_degC ?? null);
  const scale = scaleFactorOf(header, later, water.density_kg_per_m3);
  const { clockRatio: ratio, clockRatioStandardUncertainty: u } = header;
  const clock = ratio === undefined || u === undefined ? null : { ratio, standardUncertainty: u };
  const context = { about: header, shared: sharedParts({ header, water, scale, clock }) };
  const shown = catches.map(({ record, strike }): AnalysedCatch => ({
    ...record.shown,
    struck: strike !== null || record.shown.struck,
  }));
  const byMeter = shown.some((c) => c.flowFrom === 'pulses');
  const allMarks = marksWithChecks(marks, records);
  const answer = analyseRigCurve(rigFacts(header), shown, {
    protocol: header.settingProtocol ?? 're-set',
    settingStandardUncertainty_Pa: header.settingStandardUncertainty_Pa ?? ASSUMED_SETTING_U_Pa,
    pressureFullScale_Pa: header.pressureFullScale_Pa ?? null,
    pressureStandardUncertainty_Pa: header.pressureStandardUncertainty_Pa ?? null,
    ratedFlow_m3_per_s: header.ratedFlow_m3_per_s ?? null,
    ratedPressure_Pa: header.ratedPressure_Pa ?? null,
    dialZero: dialZeroOf(allMarks),
    noCatchesBecause: 'no-catches',
    sharedOf: (c) => sharedOfFlow(context, c.flowFrom ?? 'mass', c.flow_m3_per_s ?? 0),
  });
  return {
    header,
    marks: allMarks,
    catches: shown,
    answer,
    shared: answer.fitted?.shared ?? [],
    flowFrom: byMeter ? 'pulses' : 'mass',
    instrument: JSON.stringify(sweep.instrument),
    instrumentChecked: byMeter ? isMeterChecked(header) : scale.parts.length > 0,
  };
}

function scaleChecks(marks: readonly TimedMark[]): readonly LaterScaleCheck[] {
  return marks.flatMap(({ mark }) =>
    mark.kind === 'scale-check' ? [{ ...mark, corrects: mark.corrects === true }] : [],
  );
}

/** A pail with marks: what its marks are worth is all that its catches share. */
function byHand({ setup, catches }: ByHandSweepRecord, records: readonly BenchRecord[]): Read | null {
  const { tip, rig } = setup;
  const protocol = rig.control === 'turns-freely' ? 're-set' : 'set-once';
  const analysed = analyseByHand({
    name: tip.name,
    estimatorVersion,
    catches,
    protocol,
    settingStandardUncertainty_Pa: rig.settingStandardUncertainty_Pa,
    tip,
  });
  if (!analysed.ok) return null;
  const { analysis, budgets } = analysed.value;
  const marks = budgets.catches[0]?.lines.find((line) => line.input === 'pail-marks');
  const shared = marks === undefined ? [] : [{ ...marks, relative: marks.standardUncertainty }];
  // Nothing was estimated from readings: all that a hand-timed catch doubts is stated.
  const stated = analysis.catches.map((c) => ({
    ...c,
    typeA_m3_per_s: 0,
    typeADegreesOfFreedom: 1,
    jetAllowance_m3_per_s: 0,
  }));
  return {
    header: {
      instrument: 'scale',
      tip: tip.name,
      rig: rig.name,
      // Its volume is known from the pail's marks: nothing of a scale is in doubt.
      scaleFactorFrom: 'water-volume',
      settingProtocol: protocol,
      settingStandardUncertainty_Pa: rig.settingStandardUncertainty_Pa,
      ...(tip.ratedFlow_m3_per_s === null ? {} : { ratedFlow_m3_per_s: tip.ratedFlow_m3_per_s }),
      ...(tip.ratedPressure_Pa === null ? {} : { ratedPressure_Pa: tip.ratedPressure_Pa }),
      ...told(rig.plumbing),
      unknown: {},
    },
    marks: marksWithChecks([], records),
    catches: analysis.catches,
    answer: analyseCurve(stated, {
      protocol,
      settingStandardUncertainty_Pa: rig.settingStandardUncertainty_Pa,
      pressureFullScale_Pa: null,
      ratedFlow_m3_per_s: tip.ratedFlow_m3_per_s,
      ratedPressure_Pa: tip.ratedPressure_Pa,
      noCatchesBecause: 'no-catches',
      sharedOf: () => shared,
    }),
    shared,
    flowFrom: 'mass',
    instrument: `pail with marks ${catches[0]?.markSpacing_m3 ?? ''}`,
    instrumentChecked: true,
  };
}

function told(plumbing: SweepSetup['rig']['plumbing']): Partial<CaptureHeader> {
  const { gaugeAt = null, hoseLength_m = null, hoseBore_m = null, tipAboveGauge_m = null } = plumbing ?? {};
  const facts = { gaugeAt, hoseLength_m, hoseBore_m, tipAboveGauge_m };
  return Object.fromEntries(Object.entries(facts).filter(([, value]) => value !== null));
}
