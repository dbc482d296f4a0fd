// Over 300 lines: everything that crosses between page and worker, its types re-exported so that the page imports from one place.
/** What crosses between page and worker: types only, plain data only. Expected refusals are values (Comlink loses error classes). */
import type { Analysis, CurvePicture } from '../src/analysis/sweep/analysis.ts';
import type { CaptureBudgets } from '../src/analysis/budget/budget.ts';
import type { WayCompared } from '../src/analysis/comparison/compare-ways.ts';
import type { Diagnosis, NoDiagnosis } from '../src/analysis/diagnosis/diagnosis.ts';
import type { RigResult } from '../src/analysis/sweep/rig-sweep.ts';
import type { SeveralTips } from '../src/analysis/sweep/several-tips.ts';
import type { Because, GapReason } from '../src/base/because.ts';
import type { Outcome } from '../src/base/outcome.ts';
import type { Announcement } from '../src/session/prompt.ts';
import type { SweepSummary } from '../src/records/summary.ts';
import type { SessionView } from '../src/session/session-view.ts';
import type { RigSetup, SweepSetup } from '../src/session/sweep-setup.ts';
import type { RigCheckFound } from '../src/analysis/diagnosis/evidence.ts';
import type { RigCheckPlan } from '../src/session/rig-check/rig-check-session.ts';
import type { RigCheckProgress } from '../src/session/rig-check/rig-check-view.ts';
import type { RigFault } from '../src/simulation/rig-fault.ts';
import type { ScaleReference } from '../src/analysis/checks/scale-reference.ts';
import type { ScaleDecision } from '../src/records/instrument-check.ts';
import type { CheckProgress, CheckResult } from '../src/session/checks/check-view.ts';
import type { TipAgainstTip } from '../src/analysis/comparison/tips-compared.ts';
import type { RackCurve, RackView, TipFacts } from '../src/records/rack/rack-view.ts';

export type {
  AnalysedCatch,
  AnalysedCurve,
  Analysis,
  CurvePicture,
  RatedComparison,
  SettingMean,
} from '../src/analysis/sweep/analysis.ts';
export type {
  Budget,
  BudgetHelp,
  BudgetInput,
  BudgetLine,
  CaptureBudgets,
} from '../src/analysis/budget/budget.ts';
export type {
  Cause,
  CurveMark,
  Diagnosis,
  FaultSize,
  FinerCause,
  Finding,
  NoDiagnosis,
  SettlingTest,
} from '../src/analysis/diagnosis/diagnosis.ts';
export type { WayCompared } from '../src/analysis/comparison/compare-ways.ts';
export type { FallingFlowRow, RigCatch, RigResult } from '../src/analysis/sweep/rig-sweep.ts';
export type { Ratio, SetCompared, TipAgainstTip } from '../src/analysis/comparison/tips-compared.ts';
export type { SeveralTips } from '../src/analysis/sweep/several-tips.ts';
export type { Announcement, AskedNozzle, Prompt, ShutOffReason } from '../src/session/prompt.ts';
export type {
  CatchView,
  PlannedSetting,
  RoutineView,
  RunningCatch,
  SweepPhase,
} from '../src/session/session-view.ts';
export type { RigSetup, SweepSetup, TipSetup } from '../src/session/sweep-setup.ts';
export type { ScaleReference } from '../src/analysis/checks/scale-reference.ts';
export type { ScaleDecision } from '../src/records/instrument-check.ts';
export type { CheckAmount, CheckKind, CheckPrompt, CheckResult } from '../src/session/checks/check-view.ts';
export type { DriftChart, DriftPoint } from '../src/analysis/drift/drift.ts';
export type {
  LeftOutTip,
  NoTipOrRig,
  TipOrRig,
  WithInterval,
} from '../src/analysis/tip-or-rig/tip-or-rig.ts';
export type {
  RackBaseline,
  RackCurve,
  RackRig,
  RackSweep,
  RackTip,
  RackView,
  TipFacts,
} from '../src/records/rack/rack-view.ts';
export type { RigCheckFound, RigCheckKind } from '../src/analysis/diagnosis/evidence.ts';
export type {
  RigCheckAsks,
  RigCheckLeaves,
  RigCheckPrompt,
} from '../src/session/rig-check/rig-check-view.ts';
export type { RigFault } from '../src/simulation/rig-fault.ts';
export type { Because } from '../src/base/because.ts';
export type { Outcome, Refusal } from '../src/base/outcome.ts';

export type SimulatedScenario =
  'clean' | 'typical' | 'typical80' | 'rough' | 'worst' | 'windy' | 'foam' | 'mist-lost' | 'freezing-display';
export type SimulatedSpeed = 1 | 5 | 20;
/** A fault to be found at the simulated bench; `drawn`: any of them or none, told at the end. */
export type SimulatedFault =
  | 'none'
  | 'drawn'
  | 'worn'
  | 'restricted'
  | 'leaking'
  | 'pump-limited'
  | 'dial-high'
  | 'dial-low'
  | 'dial-gain'
  | 'check-valve'
  | 'battery-sag'
  | 'hose-loss';

/** What the simulated bench is built from. The person's own settings and tip come from the sweep's set-up. */
export interface SimulatedBenchRequest {
  readonly scenario: SimulatedScenario;
  readonly seed: number;
  readonly speed: SimulatedSpeed;
  readonly instrument: 'bench-board' | 'scale';
  /** True flow at 40 psi of the invented tip; null: drawn from the seed. */
  readonly tipFlowAt275790Pa_m3_per_s: number | null;
  /** Bench board only; absent: not there. */
  readonly pressureSensor?: boolean;
  readonly flowMeter?: boolean;
  /** Bench board with a flow meter and no load cell: water is heard by the meter alone. */
  readonly meterAlone?: boolean;
  /** A scale that is a little wrong, and a meter and a sensor on a board: something for checks to find. */
  readonly toBeChecked?: boolean;
  /** Switched on, its size out of the seed. Absent: `none`. */
  readonly fault?: SimulatedFault;
  /** What drives its water and what stands on its scale; absent: a held pressure into a pail. */
  readonly rig?: Pick<RigSetup, 'kind' | 'standsOnScale' | 'strokePeriod_s'>;
}

export interface SerialRequest {
  /** Index in the worker's own getPorts() order, after the page asked for the port. */
  readonly portIndex: number;
  readonly kind: 'bench-board' | 'scale';
  readonly baudRate: number;
  readonly bareUnit: 'g' | 'kg' | 'lb' | 'oz' | null;
  readonly averagedReadings: number | null;
  /** Bench board only. */
  readonly gramsPerCount: number | null;
  readonly pulsesPerLitre: number | null;
  /** Pressure at which its sensor gives 4.5 V; absent or null: no sensor. */
  readonly pressureFullScale_Pa?: number | null;
}

export interface InstrumentView {
  readonly source: 'none' | 'simulated' | 'serial';
  readonly state: 'closed' | 'opening' | 'listening' | 'reading' | 'silent' | 'lost' | 'refused';
  readonly kind: 'bench-board' | 'scale' | null;
  readonly simulated: boolean;
  readonly speed: SimulatedSpeed | null;
  readonly readingsPerSecond: number | null;
  readonly mass_kg: number | null;
  readonly readings: number;
  readonly linesRefused: number;
  readonly gaps: number;
  readonly lastGap: GapReason | null;
  /** Device text, untrusted: show as text only. */
  readonly lastRefusedLine: string | null;
  readonly because: Because | null;
}

export interface SweepView extends SessionView {
  readonly sweepId: string;
  readonly setup: SweepSetup;
  readonly simulated: boolean;
  /** The simulated tip's true nozzle constant, told when the sweep is done; null for a real one or before. */
  readonly trueNozzleConstant_m3_per_s_per_sqrtPa: number | null;
  /** The conditions of the simulated bench, told with its truth; absent for real water. */
  readonly conditions?: SimulatedScenario | null;
  /** What was switched on at the simulated bench, told with its truth; absent or null where nothing was asked for. */
  readonly faults?: readonly RigFault[] | null;
  /** Of a simulated routine, told with its truth: true flow of each nozzle over that of the first, in the order of the plan. */
  readonly trueNozzleShares?: readonly number[] | null;
  readonly notKept: Because | null;
  /** Once the sweep is done, a moment after; before that null, for nobody reads a budget while water runs. */
  readonly budgets: CaptureBudgets | null;
}

export interface BenchView {
  readonly instrument: InstrumentView;
  readonly sweep: SweepView | null;
  /** The check that runs, or the last one until the person turns away from it. */
  readonly check?: CheckView | null;
  /** What checks have found of the instrument that is open; absent: none was made. */
  readonly checks?: ChecksInForce;
  /** The check of a rig that runs, or the last one until the person turns away from it. */
  readonly rigCheck?: RigCheckView | null;
  /** What checks of rigs have found since the instrument was opened, oldest first; absent: none was made. */
  readonly rigFound?: readonly RigFound[];
}

/** What is to be checked of which rig. */
export type RigCheckRequest = RigCheckPlan & {
  readonly rigName: string;
  readonly standsOnScale: RigSetup['standsOnScale'];
};

export interface RigCheckView extends RigCheckProgress {
  readonly rigName: string;
  /** The finished sweep that it settles something for; null: it is for what comes. */
  readonly sweepId: string | null;
  readonly notKept: Because | null;
}

export interface RigFound {
  readonly rigName: string;
  readonly found: RigCheckFound;
}

/** What is to be checked, and against what. SI; ± as standard uncertainties. */
export type CheckRequest =
  | {
      readonly kind: 'scale';
      readonly references: readonly ScaleReference[];
      readonly limit_kg: number | null;
      /** Poured in slowly at the end: does the display swallow it? Absent: not asked for. */
      readonly trickle_kg?: number;
    }
  | { readonly kind: 'clock' }
  | { readonly kind: 'pressure'; readonly known_Pa: number; readonly knownStandardUncertainty_Pa: number }
  /** From the catches of the finished sweep that is named beside. */
  | { readonly kind: 'meter'; readonly oneFlowWillDo: boolean };

export interface CheckView extends CheckProgress {
  /** The finished sweep it belongs to; null: it is for what comes. */
  readonly sweepId: string | null;
  /** What the person may decide now; empty when nothing is to be decided. */
  readonly decisions: readonly ScaleDecision[];
  readonly decided: ScaleDecision | null;
  readonly notKept: Because | null;
}

type Found<Kind extends CheckResult['kind']> = Extract<CheckResult, { readonly kind: Kind }>;

export interface ChecksInForce {
  readonly scale:
    | (Pick<
        Found<'scale'>,
        'factor' | 'from' | 'verdict' | 'relativeStandardUncertainty' | 'ownRelativeStandardUncertainty'
      > & {
        readonly decision: ScaleDecision;
        /** Whether a slow trickle was shown; absent: nobody tested it. */
        readonly showsSlowChange?: boolean;
      })
    | null;
  readonly meter: Found<'meter'> | null;
  readonly clock: Found<'clock'> | null;
  readonly pressure: Found<'pressure'> | null;
}

/** Columns of the live trace since the last batch; `restart` empties the chart first. */
export interface TraceBatch {
  readonly restart: boolean;
  readonly time_s: Float64Array;
  /** NaN where the instrument gave no number. */
  readonly mass_kg: Float64Array;
}

/** The page's end: one sink for the page's life. Calls are not awaited by the worker. */
export interface BenchSink {
  view(view: BenchView): void;
  trace(batch: TraceBatch): void;
  announce(announcement: Announcement, at_s: number): void;
}

/** One line of the list of sweeps. */
export type KeptSweep = Omit<SweepSummary, 'struck' | 'unreadable'>;

/** One catch timed by thumb: a pail with marks, a start and a stop. */
export interface HandCatch {
  readonly setting_Pa: number;
  readonly duration_s: number;
  readonly volume_m3: number;
  /** Distance between the pail's marks, as volume. */
  readonly markSpacing_m3: number;
}

/** Names the record that the next one of the same hand-timed sweep corrects. */
export interface KeptByHand {
  readonly sweepId: string;
  readonly recordId: string;
}

export interface AnalysedFile {
  /** Name of the tip as the capture or the set-up has it; null if it says none. */
  readonly tipName: string | null;
  readonly analysis: Analysis;
  readonly picture: CurvePicture | null;
  readonly budgets: CaptureBudgets;
  /** Decimated (min/max per bin) trace for the chart. */
  readonly trace: TraceBatch;
  /** What the rig's kind adds to the catches; absent or null for a held pressure into a pail. */
  readonly rig?: RigResult | null;
  /** What the curve says of tip and rig, or why it says nothing and how to get a verdict. */
  readonly diagnosis?: Diagnosis | NoDiagnosis | null;
  /** Tip or position of each catch where the capture says so (typed text, untrusted), and how they compare; absent: of one tip. */
  readonly labels?: readonly (string | null)[];
  readonly several?: SeveralTips | null;
}

/** What a comparison of two tips takes, told before it begins. Relative numbers. */
export interface TipPlan {
  /** Even: whole rounds of A B B A. */
  readonly catchesPerTip: number;
  /** Standard deviation of one catch that this was planned with, and where it comes from. */
  readonly catchStandardDeviation: number;
  readonly from: 'earlier-sweeps' | 'target';
  /** The smallest difference that so many catches show in four of five cases. */
  readonly seenDifference: number;
}

/** Which rack is looked at: the book's, or an invented season that is never kept and always marked simulated. */
export type RackSource = 'book' | 'simulated-season';

/** Two to six tips of a rack: each of the others against one of them, and the curves that are laid over each other. */
export interface TipsCompared {
  readonly against: string;
  /** In the order of the keys asked for, the one they are held against left out. */
  readonly pairs: readonly TipAgainstTip[];
  /** In the order of the keys asked for. */
  readonly curves: readonly {
    readonly key: string;
    readonly name: string;
    readonly simulated: boolean;
    readonly curve: RackCurve | null;
  }[];
}

export interface BenchWorker {
  /** Must be the first call; returns versions. */
  hello(sink: BenchSink): Promise<{
    readonly appVersion: string;
    readonly estimatorVersion: string;
    readonly storage: Outcome<true>;
  }>;
  openSimulated(request: SimulatedBenchRequest): Promise<Outcome<true>>;
  setSpeed(speed: SimulatedSpeed): Promise<Outcome<true>>;
  openSerial(request: SerialRequest): Promise<Outcome<true>>;
  closeInstrument(): Promise<Outcome<true>>;
  /**
   * Begins a check of the open instrument; from here no touch is needed. `sweepId`: the finished sweep it is for, which it marks and
   * has computed anew; null: for what comes.
   */
  startCheck(request: CheckRequest, sweepId: string | null): Promise<Outcome<true>>;
  /** Stops a check that runs, or puts away one that is over. */
  dismissCheck(): Promise<Outcome<true>>;
  decideCheck(decision: ScaleDecision): Promise<Outcome<true>>;
  /**
   * Begins a check of a rig, one that is read by eye also without an instrument. `sweepId`: the finished sweep it settles something for,
   * which it marks and has computed anew; null: for what comes.
   */
  startRigCheck(request: RigCheckRequest, sweepId: string | null): Promise<Outcome<true>>;
  /** A number that was read off the dial or gauge, Pa; null: the large button (`RigCheckProgress.asks` says what for). */
  answerRigCheck(value_Pa: number | null): Promise<Outcome<true>>;
  /** Breaks off a check of a rig that runs: what was found stays, and the view tells what has to be undone until it is put away. */
  stopRigCheck(): Promise<Outcome<true>>;
  /** Puts away one that is over; one that runs is stopped, and stands. */
  dismissRigCheck(): Promise<Outcome<true>>;
  /** Checks the set-up, keeps it and begins: from here no touch is needed. */
  startSweep(setup: SweepSetup): Promise<Outcome<{ readonly sweepId: string }>>;
  /**
   * How many catches of each tip the set-up's wanted difference takes; the set-up itself is not changed. Refused as `startSweep` refuses
   * it, and `difference-needs-too-many`.
   */
  planTips(setup: SweepSetup): Promise<Outcome<TipPlan>>;
  /** Take up a kept, unfinished sweep with the instrument that is open now. */
  resumeSweep(sweepId: string): Promise<Outcome<{ readonly sweepId: string }>>;
  pause(): Promise<Outcome<true>>;
  goOn(): Promise<Outcome<true>>;
  /** Reason needed once its number was seen. The catch stays in the record. */
  strike(catchIndex: number, reason: string): Promise<Outcome<true>>;
  /**
   * Strike the catch that began at `RunningCatch.start_s`: the one in hand, or that same one if it has closed since. Without a
   * reason only while it runs.
   */
  strikeStarted(start_s: number, reason: string): Promise<Outcome<true>>;
  undoStrike(catchIndex: number): Promise<Outcome<true>>;
  endSweep(): Promise<Outcome<true>>;
  listSweeps(): Promise<Outcome<readonly KeptSweep[]>>;
  /** The kept sweep as a view (for the Log) — recomputed by the present estimators. */
  openSweep(sweepId: string): Promise<Outcome<AnalysedFile & { readonly setup: SweepSetup }>>;
  /**
   * The sweep against the newest one of the same tip and rig that was made the other way (into the pail, by the sprayer's loss, by the
   * meter): water that leaves the sprayer and does not reach the pail. Refused `no-sweep-the-other-way`, `sweeps-not-alike`,
   * `instruments-not-checked`.
   */
  compareOtherWay(sweepId: string): Promise<Outcome<WayCompared>>;
  /**
   * Every tip and rig of the book, computed anew by the present estimators; or of an invented season.
   * @param limitRatio flow over the baseline at which a tip counts as worn, for the forecast: the person's habit, 1.10 unless given.
   */
  rack(source: RackSource, limitRatio?: number): Promise<Outcome<RackView>>;
  /** @param keys two to six keys of `RackTip`, `against` one of them. A pair that can't be compared says why in its own row. */
  compareTips(source: RackSource, keys: readonly string[], against: string): Promise<Outcome<TipsCompared>>;
  /** Keeps what a person says of a tip; the facts kept before stay in the book, the newest count. */
  saveTip(facts: TipFacts, simulated: boolean): Promise<Outcome<true>>;
  /** The sweep as a capture file. */
  exportCapture(sweepId: string): Promise<Outcome<{ readonly name: string; readonly text: string }>>;
  /** The file itself crosses, not its bytes: the worker reads it piece by piece and refuses what is too big unread. */
  analyseFile(name: string, file: Blob): Promise<Outcome<AnalysedFile>>;
  analyseByHand(setup: SweepSetup, catches: readonly HandCatch[]): Promise<Outcome<AnalysedFile>>;
  /** Keeps all catches so far; `earlier` is what the last call answered, so that a growing sweep stays one sweep in the Log. */
  keepByHand(
    setup: SweepSetup,
    catches: readonly HandCatch[],
    earlier: KeptByHand | null,
  ): Promise<Outcome<KeptByHand>>;
}
