import type { RigCheckFound } from '../../../src/analysis/diagnosis/evidence.ts';
import { newestOfKind } from '../../../src/analysis/diagnosis/newest-of-kind.ts';
import { rigCheckMark } from '../../../src/analysis/diagnosis/rig-check-mark.ts';
import type { Because } from '../../../src/base/because.ts';
import { nameKey } from '../../../src/base/name-key.ts';
import { ok, refused, type Outcome } from '../../../src/base/outcome.ts';
import type { RigCheckRecord } from '../../../src/records/bench-record.ts';
import { createRigCheck, type RigCheckEars } from '../../../src/session/rig-check/rig-check-session.ts';
import {
  leftWhenStopped,
  type RigCheckMachine,
  type RigCheckProgress,
  type RigCheckPrompt,
} from '../../../src/session/rig-check/rig-check-view.ts';
import type { StreamEvent } from '../../../src/signal/reading.ts';
import type { ChecksInForce, RigCheckRequest, RigCheckView, RigFound } from '../../contract.ts';
import { describedHeader } from '../capture-header-of.ts';
import { headerOfChecks } from '../checks/header-of-checks.ts';
import type { Source } from '../device/source.ts';
import { newEnvelope } from '../record-envelope.ts';
import { rigFoundToday } from '../rig-found-today.ts';
import type { RunningSweep } from '../running-sweep.ts';
import type { BenchStore } from '../storage/bench-store.ts';

/** A finished sweep as far as a check of its rig touches it. */
export type SweepOfRig = Pick<RunningSweep, 'sweepId' | 'scaleChecked'>;

export interface RigChecksEnvironment {
  readonly store: BenchStore;
  readonly announce: (prompt: RigCheckPrompt) => void;
  readonly changed: () => void;
}

/**
 * Checks of a rig: one at a time, each thing found kept as a record at once. After a sweep it is marked in that sweep, which is computed
 * anew. Without an instrument only what is read by eye can be checked.
 */
export class RigChecks {
  readonly #o: RigChecksEnvironment;
  readonly #source: Source | null;
  #machine: RigCheckMachine | null = null;
  #over: RigCheckProgress | null = null;
  #rigName = '';
  #sweep: SweepOfRig | null = null;
  #kept = 0;
  #notKept: Because | null = null;
  #found: readonly RigFound[] = [];

  constructor(source: Source | null, environment: RigChecksEnvironment) {
    this.#source = source;
    this.#o = environment;
  }

  get isRunning(): boolean {
    return this.#machine !== null;
  }

  /** What the simulated person hears, of one that is over too: what was changed has to be put back. Null once it is put away. */
  get prompt(): RigCheckPrompt | null {
    return (this.#machine ?? this.#over)?.prompt ?? null;
  }

  get view(): RigCheckView | null {
    const shown = this.#machine?.view() ?? this.#over;
    if (shown === null) return null;
    return {
      ...shown,
      rigName: this.#rigName,
      sweepId: this.#sweep?.sweepId ?? null,
      notKept: this.#notKept,
    };
  }

  /** Found here, with this instrument, oldest first. */
  get found(): readonly RigFound[] {
    return this.#found;
  }

  /** What of it is of this rig: the newest of a kind, and of a setting. */
  foundOf(rigName: string): readonly RigCheckFound[] {
    const key = nameKey(rigName);
    return newestOfKind(this.#found.filter((one) => nameKey(one.rigName) === key).map(({ found }) => found));
  }

  /** @param sweep the finished sweep it settles something for; null: it is for what comes. */
  async begin(
    request: RigCheckRequest,
    sweep: SweepOfRig | null,
    checks: ChecksInForce | null,
  ): Promise<Outcome<true>> {
    if (this.#machine !== null) return refused('check-running');
    if (request.rigName.trim() === '') return refused('name-missing');
    const before = await this.#foundToday(request);
    const made = createRigCheck(request, this.#ears(request, checks), before);
    if (!made.ok) return made;
    this.#clear();
    this.#machine = made.value;
    this.#rigName = request.rigName;
    this.#sweep = sweep;
    // What it asks first is in its hands; without an instrument no reading would bring it out.
    if (this.#source === null) this.#o.announce(made.value.prompt);
    this.#o.changed();
    return ok(true);
  }

  accept(events: readonly StreamEvent[]): void {
    const machine = this.#machine;
    if (machine === null) return;
    for (const event of events) for (const prompt of machine.accept(event)) this.#o.announce(prompt);
    this.#keepNew(machine);
  }

  /** A number that was read, Pa; null: the large button. */
  answer(value_Pa: number | null): Outcome<true> {
    const machine = this.#machine;
    if (machine === null) return refused('no-rig-check-running');
    const answered = machine.answer(value_Pa);
    if (!answered.ok) return answered;
    for (const prompt of answered.value) this.#o.announce(prompt);
    this.#keepNew(machine);
    this.#o.changed();
    return ok(true);
  }

  /** The person breaks off a check that runs. What was found stays, and what has to be undone is said and stands until it is put away. */
  stop(): void {
    const machine = this.#machine;
    if (machine === null) return;
    const shown = machine.view();
    const leaves = leftWhenStopped(shown.kind);
    const prompt: RigCheckPrompt = { kind: 'rig-check-failed', because: 'rig-check-stopped', leaves };
    this.#machine = null;
    this.#over = {
      ...shown,
      prompt,
      asks: null,
      flow_m3_per_s: null,
      secondsLeft: null,
      isOver: true,
      failed: refused('rig-check-stopped'),
    };
    this.#o.announce(prompt);
    // The simulated person puts back what was changed, as a real one is told to.
    this.#tellPerson(prompt);
    this.#o.changed();
  }

  /** The person turns away from one that is over. One that runs is stopped, and stands. */
  dismiss(): void {
    if (this.#machine !== null) {
      this.stop();
      return;
    }
    this.#clear();
    this.#o.changed();
  }

  /** Only a blank asks for it; a simulated rig is another one each time its bench is opened. */
  async #foundToday({ kind, rigName }: RigCheckRequest): Promise<readonly RigCheckFound[]> {
    if (kind !== 'blank-tip') return [];
    const kept =
      this.#source?.simulated === true ? [] : await rigFoundToday(this.#o.store, rigName, Date.now());
    return [...kept, ...this.foundOf(rigName)];
  }

  #ears(request: RigCheckRequest, checks: ChecksInForce | null): RigCheckEars | null {
    const source = this.#source;
    if (source === null) return null;
    const facts = Object.entries(checks === null ? {} : headerOfChecks(checks));
    const header = {
      ...describedHeader(source.description),
      ...Object.fromEntries(facts.filter(([, value]) => value !== null)),
    };
    return {
      header,
      standsOnScale: request.standsOnScale,
      showsSlowChange: checks?.scale?.showsSlowChange ?? null,
    };
  }

  #keepNew(machine: RigCheckMachine): void {
    const { found } = machine.view();
    for (const one of found.slice(this.#kept)) this.#keep(one);
    this.#kept = found.length;
    if (!machine.isOver) return;
    this.#machine = null;
    this.#over = machine.view();
    this.#tellPerson(machine.prompt);
    this.#o.changed();
  }

  #keep(found: RigCheckFound): void {
    this.#found = [...this.#found, { rigName: this.#rigName, found }];
    const record: RigCheckRecord = {
      ...newEnvelope(this.#sweep?.sweepId ?? null, this.#source?.simulated ?? false),
      kind: 'rig-check',
      rigName: this.#rigName,
      found,
    };
    this.#sweep?.scaleChecked(rigCheckMark(found), this.#source?.now_s() ?? 0);
    void this.#o.store.add(record).then((kept) => {
      if (kept.ok) return;
      this.#notKept = kept.because;
      this.#o.changed();
    });
  }

  #tellPerson(prompt: RigCheckPrompt): void {
    this.#source?.follow(prompt, this.#source.now_s());
  }

  #clear(): void {
    this.#machine = null;
    this.#over = null;
    this.#sweep = null;
    this.#kept = 0;
    this.#notKept = null;
  }
}
