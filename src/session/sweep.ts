import type { BudgetFacts } from '../analysis/budget/capture-budgets.ts';
import type { Analysis, CurvePicture } from '../analysis/sweep/analysis.ts';
import type { CaptureAnalyser } from '../analysis/sweep/capture-analyser.ts';
import type { GapReason } from '../base/because.ts';
import type { Outcome } from '../base/outcome.ts';
import type { CaptureMark } from '../signal/captures/mark.ts';
import type { RawLine } from '../signal/lines/line-splitter.ts';
import type { StreamEvent } from '../signal/reading.ts';
import type { Prompt } from './prompt.ts';
import type { SessionView, SweepPhase } from './session-view.ts';
import type { SweepCommand } from './sweep-command.ts';

export type ScaleCheckMark = Extract<CaptureMark, { kind: 'scale-check' }>;
/** What a check of the scale or of the rig writes into a capture. */
export type CheckMark = ScaleCheckMark | Extract<CaptureMark, { kind: 'rig-check' }>;

/** A hands-free sweep as its runner sees it, whichever way the settings follow each other. All times: seconds since its start. */
export interface Sweep {
  readonly headerText: string;
  readonly analysis: Analysis | null;
  readonly picture: CurvePicture | null;
  /** For the budgets of what was measured so far. */
  readonly budgetFacts: BudgetFacts | null;
  readonly prompt: Prompt;
  readonly phase: SweepPhase;
  begin(at_s: number): SweepCommand[];
  restore(
    feed: (sink: CaptureAnalyser) => number,
    reasons?: readonly { readonly start_s: number; readonly reason: string }[],
  ): SweepCommand[];
  accept(raw: RawLine, events: readonly StreamEvent[]): SweepCommand[];
  gap(at_s: number, because: GapReason): SweepCommand[];
  instrumentBack(at_s: number): SweepCommand[];
  pause(at_s: number): SweepCommand[];
  goOn(at_s: number): SweepCommand[];
  strike(index: number, reason: string, at_s: number): Outcome<SweepCommand[]>;
  strikeStarted(start_s: number, reason: string, at_s: number): Outcome<SweepCommand[]>;
  undoStrike(index: number, at_s: number): Outcome<SweepCommand[]>;
  end(at_s: number): SweepCommand[];
  /** Scale or rig was checked: what was found goes into the capture, and everything is computed anew; nothing is lost by it. */
  scaleChecked(mark: CheckMark, at_s: number): SweepCommand[];
  view(): SessionView;
}
