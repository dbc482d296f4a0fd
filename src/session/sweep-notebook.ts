import type { AnalysedCatch, Analysis, CurvePicture } from '../analysis/sweep/analysis.ts';
import { CaptureAnalyser } from '../analysis/sweep/capture-analyser.ts';
import type { Diagnosis, NoDiagnosis } from '../analysis/diagnosis/diagnosis.ts';
import type { RigResult } from '../analysis/sweep/rig-sweep.ts';
import type { SeveralTips } from '../analysis/sweep/several-tips.ts';
import type { BudgetFacts } from '../analysis/budget/capture-budgets.ts';
import type { Absence } from '../base/because.ts';
import { SHORTEST_TRUSTED_CATCH_S } from '../base/shortest-catch.ts';
import type { CaptureHeader } from '../signal/captures/header.ts';
import type { CaptureMark } from '../signal/captures/mark.ts';
import { captureDataLine, captureMarkLine } from '../signal/captures/write.ts';
import type { DetectedCatch } from '../signal/catches/catch-event.ts';
import type { RawLine } from '../signal/lines/line-splitter.ts';
import type { CatchView } from './session-view.ts';

/** Two starts nearer than this are one catch's: edges move by milliseconds as the clock is known better. */
const SAME_START_S = 2;

/**
 * The sweep's capture as it is written, and what the analysis makes of it so far. Every line and mark goes to the analyser with the time
 * as written, so that the saved file gives the same numbers as the screen to the last digit.
 */
export class SweepNotebook {
  readonly #analyser = new CaptureAnalyser();
  readonly #reasons: { readonly start_s: number; readonly reason: string }[] = [];
  analysis: Analysis | null = null;
  picture: CurvePicture | null = null;
  pictureBecause: Absence | null = 'no-catches';
  rig: RigResult | null = null;
  several: SeveralTips | null = null;
  #labels: readonly (string | null)[] = [];
  budgetFacts: BudgetFacts | null = null;
  diagnosis: Diagnosis | NoDiagnosis | null = null;

  constructor(header: CaptureHeader) {
    this.#analyser.header(header);
  }

  /** The line as it stands in the capture. */
  line(raw: RawLine): string {
    const text = captureDataLine(raw);
    this.#analyser.line(timeWritten(text), raw.line);
    return text;
  }

  /** The mark as it stands in the capture. */
  mark(at_s: number, mark: CaptureMark): string {
    const text = captureMarkLine(at_s, mark);
    this.#analyser.mark(timeWritten(text), mark);
    return text;
  }

  /** Why earlier catches were struck: the capture tells that they were, and the reason only as a note for people. */
  recall(reasons: readonly { readonly start_s: number; readonly reason: string }[]): void {
    this.#reasons.push(...reasons);
  }

  /** Lines and marks of an earlier part of the sweep, as a reader of its capture gives them. */
  restore(feed: (sink: CaptureAnalyser) => number): number {
    return feed(this.#analyser);
  }

  /** @param runningSince_s start of a catch that still runs; what the analysis makes of its beginning is not told. */
  analyse(runningSince_s: number | null): void {
    const { analysis, picture, pictureBecause, rig, budgetFacts, diagnosis, labels, several } =
      this.#analyser.finish('sweep');
    const isOver = (c: AnalysedCatch): boolean => runningSince_s === null || c.stop_s <= runningSince_s;
    this.#labels = labels.filter((_, i) => isOver(analysis.catches[i]!));
    this.several = several;
    this.analysis = analysis.catches.every(isOver)
      ? analysis
      : { ...analysis, catches: analysis.catches.filter(isOver) };
    this.picture = picture;
    this.pictureBecause = pictureBecause;
    this.rig = rig;
    this.budgetFacts = budgetFacts;
    this.diagnosis = diagnosis;
  }

  /** Marks the catch as struck; the text is for the capture. */
  strike(caught: AnalysedCatch, reason: string, at_s: number): string {
    this.#reasons.push({ start_s: caught.start_s, reason });
    const struck = this.mark(at_s, { kind: 'struck', start_s: caught.start_s });
    if (reason.trim() === '') return struck;
    return (
      struck + this.mark(at_s, { kind: 'note', text: `struck at ${caught.start_s.toFixed(2)} s: ${reason}` })
    );
  }

  /** Places of what the analysis makes of water that the detector has closed: a falling pour may give several points; none when it knows none. */
  within({ start_s, stop_s }: Pick<DetectedCatch, 'start_s' | 'stop_s'>): number[] {
    return this.#catches.flatMap((c, index) => (c.start_s < stop_s && c.stop_s > start_s ? [index] : []));
  }

  /** Place of the catch that began then; -1 for none. */
  startedAt(start_s: number): number {
    return this.#catches.findIndex((c) => Math.abs(c.start_s - start_s) < SAME_START_S);
  }

  isGood(c: AnalysedCatch): boolean {
    return (
      !c.struck &&
      c.voidBecause === null &&
      c.flow_m3_per_s !== null &&
      c.stop_s - c.start_s >= SHORTEST_TRUSTED_CATCH_S
    );
  }

  /** All the water ever caught, kg. */
  get caught_kg(): number {
    return this.#catches.reduce((sum, c) => sum + (c.mass_kg ?? 0), 0);
  }

  get hasGoodCatch(): boolean {
    return this.#catches.some((c) => this.isGood(c));
  }

  /** How many good catches each setting has. */
  goodCatches(): Map<number, number> {
    const counts = new Map<number, number>();
    // A falling pour that gives several points was still one catch.
    const counted = new Set<string>();
    for (const c of this.#catches) {
      const which = `${c.pour} ${c.setting_Pa}`;
      if (c.setting_Pa === null || !this.isGood(c) || counted.has(which)) continue;
      counted.add(which);
      counts.set(c.setting_Pa, (counts.get(c.setting_Pa) ?? 0) + 1);
    }
    return counts;
  }

  /** How many good catches each nozzle of a routine has. */
  goodByLabel(): Map<string, number> {
    const counts = new Map<string, number>();
    this.#catches.forEach((c, i) => {
      const label = this.#labels[i] ?? null;
      if (label !== null && this.isGood(c)) counts.set(label, (counts.get(label) ?? 0) + 1);
    });
    return counts;
  }

  /** Which nozzle gave the last water that counts, good or void. */
  get lastLabel(): string | null {
    const at = this.#catches.findLastIndex((c) => !c.struck);
    return this.#labels[at] ?? null;
  }

  /** The largest flow that any good catch had, m3/s; null without one. */
  get largestFlow_m3_per_s(): number | null {
    const flows = this.#catches.flatMap((c) => (this.isGood(c) ? [c.flow_m3_per_s!] : []));
    return flows.length === 0 ? null : Math.max(...flows);
  }

  views(): CatchView[] {
    return this.#catches.map((c, index) => ({
      ...c,
      warnings: this.picture?.outlier?.index === index ? [...c.warnings, 'stands-apart'] : c.warnings,
      index,
      ...(this.#labels[index] == null ? {} : { label: this.#labels[index] }),
      struckReason: c.struck ? this.#reasonOf(c.start_s) : null,
    }));
  }

  get #catches(): readonly AnalysedCatch[] {
    return this.analysis?.catches ?? [];
  }

  #reasonOf(start_s: number): string | null {
    return this.#reasons.findLast((r) => Math.abs(r.start_s - start_s) < SAME_START_S)?.reason ?? null;
  }
}

function timeWritten(text: string): number {
  return Number(text.slice(0, text.indexOf('\t')));
}
