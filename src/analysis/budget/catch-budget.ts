import { MOST_DEGREES_OF_FREEDOM } from '../flow/catch-uncertainty.ts';
import { MARK_READING_SHARE, PAIL_MARKS_HALF_RANGE, THUMB_INTERVAL_U_s } from '../flow/by-hand.ts';
import type { HandTiming } from '../flow/by-hand.ts';
import { JET_DRIFT_REACH_s } from '../flow/jet-allowance.ts';
import type { MeterFactor } from '../flow/pulses.ts';
import type { AnalysedCatch } from '../sweep/analysis.ts';
import type { Budget, BudgetInput, BudgetLine, SharedPart } from './budget.ts';
import { isMeterChecked } from './meter-parts.ts';
import { isScaleChecked } from './scale-factor.ts';
import { sharedOfFlow } from './shared-of-flow.ts';
import type { SharedContext } from './shared-of-flow.ts';
import { sharedLine, sumLines } from './sum-lines.ts';
import { catchHelps, handHelps } from './what-would-help.ts';
import type { HelpFacts } from './what-would-help.ts';

/** What the budget of a catch needs beside its printed figures. */
export interface CatchBudgetFacts extends SharedContext {
  readonly volumePerMass_m3_per_kg: number;
  readonly meter: MeterFactor | null;
  /** Water that misses the pail would not be seen: a pail on a scale, and no checked meter to balance this catch with. */
  readonly sprayCanMissUnseen: (caught: AnalysedCatch) => boolean;
  readonly help: HelpFacts;
}

const FLOW_UNIT = 'm³/s';

/**
 * The JCGM 100 budget of one catch's flow, made from its printed parts, so that it can't disagree with them: combined standard
 * uncertainty, degrees of freedom and expanded uncertainty are those printed; own lines come to own parts, shared ones to
 * `sharedTypeB`. Null for a catch without a flow.
 */
export function catchBudget(caught: AnalysedCatch, facts: CatchBudgetFacts): Budget | null {
  const { flow_m3_per_s: flow, flowFrom } = caught;
  if (flow === null || flowFrom === null) return null;
  const own = flowFrom === 'mass' ? massLines(caught, facts) : pulseLines(caught, flow, facts);
  const lines = [...own, ...sharedOfFlow(facts, flowFrom, flow).map((part) => sharedLine(part, flow))];
  if (flowFrom === 'mass' && facts.sprayCanMissUnseen(caught)) lines.push(sprayMissed);
  const nobodyChecked = unchecked(flowFrom, lines, facts);
  if (nobodyChecked !== null) lines.push(nobodyChecked);
  const budget = sumLines({ result: 'flow', value: flow, unit: FLOW_UNIT }, lines);
  return { ...budget, helps: catchHelps(budget, caught.stop_s - caught.start_s, facts.help) };
}

function massLines(caught: AnalysedCatch, facts: CatchBudgetFacts): BudgetLine[] {
  const perMass = facts.volumePerMass_m3_per_kg;
  const lines = [
    ownLine({
      input: 'scatter-of-readings',
      value: caught.massFlow_kg_per_s,
      unit: 'kg/s',
      sensitivity: perMass,
      distribution: 'scatter',
      contribution: caught.typeA_m3_per_s ?? 0,
      degreesOfFreedom: caught.typeADegreesOfFreedom ?? MOST_DEGREES_OF_FREEDOM,
    }),
  ];
  const length_s = caught.stop_s - caught.start_s;
  lines.push(
    // How far the push drifts over the catch; its expected drift is none.
    ownLine({
      input: facts.about.standsOnScale === 'sprayer' ? 'hose-pull' : 'jet-push',
      value: 0,
      unit: 'kg',
      sensitivity: (perMass / length_s) * Math.max(1, length_s / JET_DRIFT_REACH_s),
      distribution: 'rectangular',
      contribution: caught.jetAllowance_m3_per_s ?? 0,
      degreesOfFreedom: MOST_DEGREES_OF_FREEDOM,
    }),
  );
  const rest = caught.ownTypeB_m3_per_s ?? 0;
  if (rest > 0) {
    lines.push(
      ownLine({
        input: ownInput(caught, facts),
        value: 0,
        unit: 'kg/s',
        sensitivity: perMass,
        distribution: 'rectangular',
        contribution: rest,
        degreesOfFreedom: MOST_DEGREES_OF_FREEDOM,
      }),
    );
  }
  return lines;
}

/** What a mass flow's own Type B stands for; of a swelling hose in steps with the display only the sum is printed. */
function ownInput({ warnings }: AnalysedCatch, { about }: CatchBudgetFacts): BudgetInput {
  const hasSteps = warnings.includes('quantisation-resonance');
  if (about.rigKind === 'hose-reel') return hasSteps ? 'swelling-and-steps' : 'hose-swelling';
  return about.rigKind === 'pumped-up' && !hasSteps ? 'fading-push' : 'display-steps';
}

function pulseLines(caught: AnalysedCatch, flow: number, { meter }: CatchBudgetFacts): BudgetLine[] {
  const perHertz = meter === null ? 1 : 1 / meter.pulsesPerCubicMetre;
  const shared = { unit: meter === null ? FLOW_UNIT : 'Hz', sensitivity: perHertz };
  const lines = [
    ownLine({
      ...shared,
      input: 'pulses',
      value: meter === null ? flow : flow * meter.pulsesPerCubicMetre - meter.offset_Hz,
      distribution: 'scatter',
      contribution: caught.typeA_m3_per_s ?? 0,
      degreesOfFreedom: caught.typeADegreesOfFreedom ?? MOST_DEGREES_OF_FREEDOM,
    }),
  ];
  const rest = Math.hypot(caught.ownTypeB_m3_per_s ?? 0, caught.jetAllowance_m3_per_s ?? 0);
  if (rest > 0) {
    lines.push(
      ownLine({
        ...shared,
        input: 'whole-strokes',
        value: 0,
        distribution: 'rectangular',
        contribution: rest,
        degreesOfFreedom: MOST_DEGREES_OF_FREEDOM,
      }),
    );
  }
  return lines;
}

/** The budget of a catch timed by thumb into a pail with marks: Q = V/t, all of it stated (Type B). */
export function handBudget(flow: number, timing: HandTiming): Budget {
  const { duration_s, volume_m3, markSpacing_m3 } = timing;
  const known = { distribution: 'rectangular', degreesOfFreedom: MOST_DEGREES_OF_FREEDOM } as const;
  const read_m3 = (MARK_READING_SHARE * markSpacing_m3) / Math.sqrt(3);
  const marks: SharedPart = {
    ...known,
    input: 'pail-marks',
    value: 1,
    unit: '1',
    standardUncertainty: PAIL_MARKS_HALF_RANGE / Math.sqrt(3),
    relative: PAIL_MARKS_HALF_RANGE / Math.sqrt(3),
  };
  const budget = sumLines({ result: 'flow', value: flow, unit: FLOW_UNIT }, [
    ownLine({
      ...known,
      input: 'thumb',
      value: duration_s,
      unit: 's',
      distribution: 'normal',
      sensitivity: -flow / duration_s,
      contribution: (flow * THUMB_INTERVAL_U_s) / duration_s,
    }),
    ownLine({
      ...known,
      input: 'mark-reading',
      value: volume_m3,
      unit: 'm³',
      sensitivity: 1 / duration_s,
      contribution: (flow * read_m3) / volume_m3,
    }),
    sharedLine(marks, flow),
    sprayMissed,
  ]);
  return { ...budget, helps: handHelps(budget, duration_s) };
}

/** Mist and spray beside the pail: always a loss, so the flow can only read low by it. Without a mass balance nobody can say how much. */
const sprayMissed = unknownLine('spray-missed', 'one-sided');

/** An instrument that nobody held against anything may be off by anything, either way: listed, so that no ± is taken for all there is. */
function unchecked(
  flowFrom: 'mass' | 'pulses',
  lines: readonly BudgetLine[],
  { about }: CatchBudgetFacts,
): BudgetLine | null {
  const isChecked =
    flowFrom === 'mass'
      ? isScaleChecked(about) || lines.some(({ input }) => input === 'scale-factor')
      : isMeterChecked(about);
  if (isChecked) return null;
  return unknownLine(flowFrom === 'mass' ? 'unchecked-scale' : 'unchecked-meter', 'unknown');
}

function unknownLine(input: BudgetInput, distribution: 'one-sided' | 'unknown'): BudgetLine {
  return {
    input,
    value: null,
    unit: '1',
    standardUncertainty: 0,
    distribution,
    sensitivity: 0,
    degreesOfFreedom: MOST_DEGREES_OF_FREEDOM,
    scope: 'shared',
    contribution: 0,
    included: false,
  };
}

function ownLine(line: Omit<BudgetLine, 'scope' | 'included' | 'standardUncertainty'>): BudgetLine {
  const standardUncertainty = line.contribution / Math.abs(line.sensitivity);
  return { ...line, standardUncertainty, scope: 'own', included: true };
}
