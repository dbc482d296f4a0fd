/** One shape for every result, wherever it comes from: a sweep just done, one from the Log, a capture, catches timed by hand. */
import type {
  AnalysedFile,
  Because,
  CaptureBudgets,
  CatchView,
  CurvePicture,
  Diagnosis,
  NoDiagnosis,
  PlannedSetting,
  RigFault,
  RigResult,
  SeveralTips,
  SimulatedScenario,
  SweepSetup,
  SweepView,
  TipSetup,
} from '../contract.ts';
import { withLimit } from '../wording/result.ts';

/** Several tips, or the positions of a boom, in one sweep. */
export interface RoutineData {
  readonly of: 'tips' | 'boom';
  /** In the order they came; typed text, untrusted. */
  readonly labels: readonly string[];
  readonly several: SeveralTips | null;
  /** Simulated only: true flow of each over that of the first. */
  readonly trueShares: readonly number[] | null;
  /** Two tips: the relative difference that was to be seen; absent: none was asked for, or it is not known. */
  readonly wantedDifference?: number;
}

export interface ResultData {
  readonly tipName: string;
  readonly simulated: boolean;
  readonly rated: TipSetup | null;
  readonly plan: readonly PlannedSetting[];
  readonly catches: readonly CatchView[];
  readonly picture: CurvePicture | null;
  readonly pictureBecause: Because | null;
  /** What each ± is made of; null where it is not known (yet). */
  readonly budgets: CaptureBudgets | null;
  readonly warnings: readonly Because[];
  /** Lines of the recording that could not be read; 0 where it is not known. */
  readonly linesRefused: number;
  readonly trueNozzleConstant_m3_per_s_per_sqrtPa: number | null;
  /** What made it hard on the simulated bench; null for real water, or where it is not known any more. */
  readonly conditions: SimulatedScenario | null;
  /** What was switched on at the simulated bench; null where nothing was, or it is not known any more. */
  readonly faults: readonly RigFault[] | null;
  /** What the rig's kind adds to the catches; null for a held pressure into a pail. */
  readonly rig: RigResult | null;
  /** Null: one tip, with a curve. */
  readonly routine: RoutineData | null;
  /** What the curve says; null: not looked for. */
  readonly diagnosis: Diagnosis | NoDiagnosis | null;
}

/** Of two tips against each other only. */
function wantedOf(setup: SweepSetup | null): Pick<RoutineData, 'wantedDifference'> {
  return setup?.routine?.kind === 'tip-against-tip'
    ? { wantedDifference: setup.routine.wantedDifference }
    : {};
}

export function routineOfSweep({ routine, trueNozzleShares, setup }: SweepView): RoutineData | null {
  if (routine === undefined) return null;
  return {
    of: routine.kind === 'boom' ? 'boom' : 'tips',
    labels: routine.plan.map(({ label }) => label),
    several: routine.several,
    trueShares: trueNozzleShares ?? null,
    ...wantedOf(setup),
  };
}

/** A bare recording has no set-up: numbers alone are positions. */
function routineOfFile(
  { labels = [], several = null }: AnalysedFile,
  setup: SweepSetup | null,
): RoutineData | null {
  const named = [...new Set(labels)].filter((label) => label !== null);
  if (setup === null ? several === null : setup.routine === null) return null;
  const isBoom =
    setup?.routine?.kind === 'boom' || (several?.kind === 'set' && named.every((one) => /^\d+$/.test(one)));
  return { of: isBoom ? 'boom' : 'tips', labels: named, several, trueShares: null, ...wantedOf(setup) };
}

export function resultOfSweep(sweep: SweepView): ResultData {
  return {
    tipName: sweep.setup.tip.name,
    simulated: sweep.simulated,
    rated: sweep.setup.tip,
    plan: sweep.plan,
    catches: sweep.catches,
    picture: sweep.picture,
    pictureBecause: sweep.pictureBecause,
    budgets: sweep.budgets,
    warnings: worthTelling(sweep.warnings, sweep.catches),
    linesRefused: 0,
    trueNozzleConstant_m3_per_s_per_sqrtPa: sweep.trueNozzleConstant_m3_per_s_per_sqrtPa,
    conditions: sweep.conditions ?? null,
    faults: sweep.faults ?? null,
    rig: sweep.rig ?? null,
    routine: routineOfSweep(sweep),
    diagnosis: sweep.diagnosis ?? null,
  };
}

/** @param setup the sweep's set-up where it is known; a bare capture has none. */
export function resultOfFile(file: AnalysedFile, setup: SweepSetup | null): ResultData {
  const { analysis, picture } = file;
  const comparison = picture?.rated ?? null;
  return {
    tipName: setup?.tip.name ?? file.tipName ?? 'This tip',
    simulated: analysis.simulated,
    rated:
      setup?.tip ??
      (comparison === null
        ? null
        : {
            name: '',
            ratedFlow_m3_per_s: comparison.ratedFlow_m3_per_s,
            ratedPressure_Pa: comparison.ratedPressure_Pa,
          }),
    plan: planOfCatches(analysis.catches),
    catches: analysis.catches.map((thisCatch, index) => ({
      ...thisCatch,
      warnings:
        picture?.outlier?.index === index ? [...thisCatch.warnings, 'stands-apart'] : thisCatch.warnings,
      index,
      ...(file.labels?.[index] == null ? {} : { label: file.labels[index] }),
      struckReason: null,
    })),
    picture,
    pictureBecause: analysis.curveBecause,
    budgets: file.budgets,
    warnings: worthTelling(analysis.warnings, analysis.catches),
    linesRefused: analysis.linesRefused,
    trueNozzleConstant_m3_per_s_per_sqrtPa: null,
    conditions: null,
    faults: null,
    rig: file.rig ?? null,
    routine: routineOfFile(file, setup),
    diagnosis: file.diagnosis ?? null,
  };
}

/** The same result with its flow held against the limit that the person goes by; absent: the one it came with. */
export function withLimitOf(data: ResultData, limitRatio: number | undefined): ResultData {
  const { picture } = data;
  return limitRatio === undefined || picture?.rated == null
    ? data
    : { ...data, picture: { ...picture, rated: withLimit(picture.rated, limitRatio) } };
}

/** A recording has no plan: what was done at each setting is the plan. */
function planOfCatches(catches: AnalysedFile['analysis']['catches']): PlannedSetting[] {
  const done = new Map<number, number>();
  for (const { setting_Pa, voidBecause, struck } of catches) {
    if (setting_Pa === null) continue;
    done.set(setting_Pa, (done.get(setting_Pa) ?? 0) + (voidBecause === null && !struck ? 1 : 0));
  }
  return [...done].map(([setting_Pa, count]) => ({ setting_Pa, wanted: count, done: count }));
}

/** All flows come from a meter: no scale was there. */
export function isMetered(catches: readonly Pick<CatchView, 'flowFrom'>[]): boolean {
  const from = catches.map(({ flowFrom }) => flowFrom);
  return from.includes('pulses') && !from.includes('mass');
}

/** Of a scale that was not there nothing is said. */
function worthTelling(
  warnings: readonly Because[],
  catches: readonly Pick<CatchView, 'flowFrom'>[],
): readonly Because[] {
  return isMetered(catches) ? warnings.filter((warning) => warning !== 'scale-not-checked') : warnings;
}

/** Flow ± of a catch is usable: not struck, not void, with both numbers. */
export function isGood(thisCatch: CatchView): boolean {
  return thisCatch.voidBecause === null && !thisCatch.struck && thisCatch.flow_m3_per_s !== null;
}
