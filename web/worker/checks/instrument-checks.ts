import { ok, refused, type Outcome } from '../../../src/base/outcome.ts';
import type { Because } from '../../../src/base/because.ts';
import { inTermsOfPieces } from '../../../src/analysis/checks/in-terms-of-pieces.ts';
import { scaleDrift, type CheckedFactor } from '../../../src/analysis/checks/scale-drift.ts';
import type {
  InstrumentCheckRecord,
  KeptCheck,
  ScaleDecision,
} from '../../../src/records/instrument-check.ts';
import { ClockCheckSession } from '../../../src/session/checks/clock-check-session.ts';
import type { CheckProgress, CheckPrompt, CheckResult } from '../../../src/session/checks/check-view.ts';
import {
  checkPressurePlan,
  PressureCheckSession,
} from '../../../src/session/checks/pressure-check-session.ts';
import { checkPlan } from '../../../src/session/checks/scale-check-plan.ts';
import { ScaleCheckSession } from '../../../src/session/checks/scale-check-session.ts';
import type { StreamEvent } from '../../../src/signal/reading.ts';
import type { CheckRequest, ChecksInForce, CheckView } from '../../contract.ts';
import type { Source } from '../device/source.ts';
import { newEnvelope } from '../record-envelope.ts';
import type { RunningSweep } from '../running-sweep.ts';
import type { BenchStore } from '../storage/bench-store.ts';
import { meterOfSweep } from './meter-of-sweep.ts';
import { scaleInForce } from './scale-in-force.ts';
import { scaleOfSweep } from './scale-of-sweep.ts';

/** A finished sweep as far as checks touch it. */
export type SweepToCheck = Pick<
  RunningSweep,
  'sweepId' | 'headerText' | 'marks' | 'captureText' | 'scaleChecked'
>;
type ScaleResult = Extract<CheckResult, { kind: 'scale' }>;

export interface ChecksEnvironment {
  readonly store: BenchStore;
  readonly announce: (prompt: CheckPrompt) => void;
  readonly changed: () => void;
}

interface Session {
  accept(event: StreamEvent): readonly CheckPrompt[];
  view(): CheckProgress;
  readonly isOver: boolean;
  readonly prompt: CheckPrompt;
}

export const noneInForce: ChecksInForce = { scale: null, meter: null, clock: null, pressure: null };

/**
 * Checks of the instrument that is open: one at a time, each kept as a record when it is over and decided. What is in force goes into the
 * header of the next sweep, until the instrument is closed. A check after a sweep writes its mark into that sweep and has it computed anew.
 */
export class InstrumentChecks {
  readonly #o: ChecksEnvironment;
  readonly #source: Source;
  #inForce = noneInForce;
  #session: Session | null = null;
  #after: SweepToCheck | null = null;
  /** The result waits for the person's word. */
  #toDecide: ScaleResult | null = null;
  #decided: ScaleDecision | null = null;
  /** The record of what waits for a word: kept at once as left, replaced by what is decided. */
  #undecidedId: string | null = null;
  #over: CheckProgress | null = null;
  #notKept: Because | null = null;

  constructor(source: Source, environment: ChecksEnvironment) {
    this.#source = source;
    this.#o = environment;
  }

  get inForce(): ChecksInForce {
    return this.#inForce;
  }

  get isRunning(): boolean {
    return this.#session !== null;
  }

  /** What the simulated person hears; null while nothing is asked. */
  get prompt(): CheckPrompt | null {
    return this.#session?.prompt ?? null;
  }

  get view(): CheckView | null {
    const shown = this.#session?.view() ?? this.#over;
    if (shown === null) return null;
    return {
      ...shown,
      sweepId: this.#after?.sweepId ?? null,
      decisions: this.#toDecide === null ? [] : this.#offered(),
      decided: this.#decided,
      notKept: this.#notKept,
    };
  }

  /** @param sweep the finished sweep it is asked for, to be put right by what is found; null: for what comes. */
  async begin(request: CheckRequest, sweep: SweepToCheck | null): Promise<Outcome<true>> {
    if (this.#session !== null) return refused('check-running');
    const { averagedReadings } = this.#source.description;
    this.dismiss();
    this.#after = sweep;
    switch (request.kind) {
      case 'scale': {
        const { description } = this.#source;
        // A meter alone weighs nothing: nobody would ever be done with putting things on.
        if (description.kind === 'bench-board' && description.kilogramsPerCount === 0)
          return refused('no-mass');
        const plan = {
          references: request.references,
          limit_kg: request.limit_kg,
          trickle_kg: request.trickle_kg ?? null,
          averagedReadings,
          before: sweep === null ? null : this.#before(sweep),
        };
        const possible = checkPlan(plan, null);
        if (!possible.ok) return possible;
        this.#session = new ScaleCheckSession(plan);
        break;
      }
      case 'clock':
        if (this.#source.description.kind === 'scale') return refused('device-has-no-clock');
        this.#session = new ClockCheckSession();
        break;
      case 'pressure': {
        const { description } = this.#source;
        const fullScale_Pa = description.kind === 'bench-board' ? description.pressureFullScale_Pa : null;
        if (fullScale_Pa === null) return refused('no-sensor');
        const plan = { ...request, fullScale_Pa };
        const possible = checkPressurePlan(plan);
        if (!possible.ok) return possible;
        this.#session = new PressureCheckSession(plan);
        break;
      }
      case 'meter':
        return this.#meter(request.oneFlowWillDo, sweep);
    }
    this.#o.changed();
    return ok(true);
  }

  accept(events: readonly StreamEvent[]): void {
    const session = this.#session;
    if (session === null) return;
    for (const event of events) for (const prompt of session.accept(event)) this.#o.announce(prompt);
    if (session.isOver) this.#end(session);
  }

  /** The person stops a check that runs, or turns away from one that is over. Nothing measured before is touched. */
  dismiss(): void {
    // A scale that was found off and left without a word is not corrected, and what was found is kept.
    if (this.#toDecide !== null) this.decide('leave');
    if (this.#session !== null) this.#tellPerson({ kind: 'take-off' });
    this.#session = null;
    this.#clear();
    this.#o.changed();
  }

  decide(decision: ScaleDecision): Outcome<true> {
    const result = this.#toDecide;
    if (result === null || !this.#offered().includes(decision)) return refused('nothing-to-decide');
    this.#toDecide = null;
    this.#decided = decision;
    if (result.drift === null) this.#mark(result, decision === 'correct');
    this.#keepScale(result, decision);
    this.#o.changed();
    return ok(true);
  }

  /** What is decided of a sweep that stands on an earlier check is for those that come, as without a sweep. */
  #offered(): readonly ScaleDecision[] {
    const isForNext = this.#after === null || (this.#toDecide?.drift ?? null) !== null;
    return isForNext ? ['correct', 'leave', 'refuse'] : ['correct', 'leave'];
  }

  /** The check that this sweep stands on, whenever it was made; the one made here knows what its reference was worth. */
  #before(sweep: SweepToCheck): CheckedFactor | null {
    const told = scaleOfSweep(sweep.headerText, sweep.marks);
    const { scale } = this.#inForce;
    if (told === null || scale === null) return told;
    return Math.abs(inTermsOfPieces(scale) / inTermsOfPieces(told) - 1) < 1e-12 ? scale : told;
  }

  /** What the person said of this scale holds on while it has not moved since; null: nobody was asked, or it has. */
  #heldDecision(result: ScaleResult): ScaleDecision | null {
    const { scale } = this.#inForce;
    if (scale === null || scale.verdict === 'agrees') return null;
    return scaleDrift(scale, result).moved ? null : scale.decision;
  }

  #end(session: Session): void {
    this.#session = null;
    this.#over = session.view();
    const { result, prompt } = this.#over;
    this.#tellPerson(result === null ? { kind: 'take-off' } : prompt);
    if (result === null) {
      this.#o.changed();
      return;
    }
    if (result.kind === 'scale') {
      // A sweep that stands on an earlier check keeps what was decided then: this one tells it the drift.
      const isDrift = result.drift !== null;
      const held = isDrift ? this.#heldDecision(result) : null;
      const asksNothing = result.verdict === 'agrees' || held !== null;
      if (isDrift || asksNothing) this.#mark(result, false);
      if (asksNothing) this.#keepScale(result, held ?? 'leave');
      else {
        this.#toDecide = result;
        this.#undecidedId = this.#record({ ...result, decision: 'leave' });
      }
    } else this.#keepOther(result);
    this.#o.changed();
  }

  /** The simulated person takes away what stands there still, as a real one is told to. */
  #tellPerson(prompt: CheckPrompt): void {
    this.#source.follow(prompt, this.#source.now_s());
  }

  async #meter(oneFlowWillDo: boolean, sweep: SweepToCheck | null): Promise<Outcome<true>> {
    if (sweep === null) return refused('meter-needs-both');
    const found = meterOfSweep(await sweep.captureText(), oneFlowWillDo);
    if (!found.ok) return found;
    const result = { kind: 'meter' as const, ...found.value };
    this.#over = {
      kind: 'meter',
      prompt: { kind: 'check-done' },
      shown: null,
      progress: 1,
      secondsLeft: null,
      trouble: null,
      result,
      failed: null,
    };
    this.#keepOther(result);
    this.#o.changed();
    return ok(true);
  }

  #mark(result: ScaleResult, corrects: boolean): void {
    const { relativeStandardUncertainty } = result;
    const mark = {
      kind: 'scale-check' as const,
      factor: inTermsOfPieces(result),
      relativeStandardUncertainty,
      ...(corrects && { corrects: true as const }),
    };
    this.#after?.scaleChecked(mark, this.#source.now_s());
  }

  #keepScale(result: ScaleResult, decision: ScaleDecision): void {
    this.#inForce = { ...this.#inForce, scale: scaleInForce(result, decision, this.#inForce.scale) };
    if (this.#undecidedId === null || decision !== 'leave')
      this.#record({ ...result, decision }, this.#undecidedId);
    this.#undecidedId = null;
  }

  #keepOther(result: Exclude<CheckResult, { kind: 'scale' }>): void {
    const { meter, clock, pressure } = this.#inForce;
    this.#inForce = {
      ...this.#inForce,
      meter: result.kind === 'meter' ? result : meter,
      clock: result.kind === 'clock' ? result : clock,
      pressure: result.kind === 'pressure' ? result : pressure,
    };
    this.#record(result);
  }

  #record(check: KeptCheck, replaces: string | null = null): string {
    const record: InstrumentCheckRecord = {
      ...newEnvelope(this.#after?.sweepId ?? null, this.#source.simulated, replaces),
      kind: 'instrument-check',
      instrument: this.#source.description,
      check,
    };
    void this.#o.store.add(record).then((kept) => {
      if (kept.ok) return;
      this.#notKept = kept.because;
      this.#o.changed();
    });
    return record.id;
  }

  #clear(): void {
    this.#after = null;
    this.#over = null;
    this.#toDecide = null;
    this.#decided = null;
    this.#notKept = null;
  }
}
