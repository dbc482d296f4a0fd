import type { Because, GapReason, WithdrawnReason } from '../../src/base/because.ts';
import type { Outcome } from '../../src/base/outcome.ts';
import type { CatchRecord, SweepEndRecord } from '../../src/records/bench-record.ts';
import { shownResult } from '../../src/records/shown-result.ts';
import { columnsFromReadings } from '../../src/records/columns/reading-columns.ts';
import { packColumns } from '../../src/records/columns/pack-columns.ts';
import type { CheckMark, Sweep } from '../../src/session/sweep.ts';
import type { SweepCommand } from '../../src/session/sweep-command.ts';
import type { RawLine } from '../../src/signal/lines/line-splitter.ts';
import type { Reading, StreamEvent } from '../../src/signal/reading.ts';
import type { SweepView } from '../contract.ts';
import { LateBudgets } from './budgets-of.ts';
import { Ring } from '../../src/signal/streams/ring.ts';
import { CaptureKeeper } from './capture-keeper.ts';
import { KeptMarks } from './kept-marks.ts';
import type { RunningSweepOptions } from './running-sweep-options.ts';
import { shiftEvent } from './shift-event.ts';
import type { BenchStore } from './storage/bench-store.ts';

/** Readings before and after a catch that are packed with it: enough to find its edges again. */
const AROUND_CATCH_S = 10;
/** Readings remembered for packing: ten minutes at 80 a second, more than the longest pour through twelve settings. */
const REMEMBERED = 48000;
/** Two starts nearer than this belong to one catch. */
const SAME_START_S = 2;

/** Carries out what the pure sweep commands: keeps text and records, announces, and shifts the stream's clock to the capture's. */
export class RunningSweep {
  readonly sweepId: string;
  readonly origin_s: number;
  readonly #o: RunningSweepOptions;
  readonly #marks: KeptMarks;
  readonly #keeper: CaptureKeeper;
  readonly #readings = new Ring<Reading>(REMEMBERED);
  #notKept: Because | null;
  #writing: Promise<void> = Promise.resolve();
  readonly #budgets = new LateBudgets(() => this.#o.changed());
  /** Records of this sweep's catches, to be named when one is struck or withdrawn. */
  readonly #kept: { readonly id: string; readonly start_s: number; withdrawn?: true }[];

  constructor(options: RunningSweepOptions) {
    this.#o = options;
    this.sweepId = options.sweepId;
    this.origin_s = options.origin_s;
    this.#notKept = options.notKept;
    this.#kept = options.keptCatches.map((kept) => ({ ...kept }));
    this.#marks = new KeptMarks(options.earlierText);
    this.#keeper = new CaptureKeeper(
      options.store,
      options.sweepId,
      options.earlierText,
      options.nextSequence,
      (because) => {
        this.#trouble(because);
      },
    );
  }

  begin(stream_s: number): void {
    this.#carryOut(this.#o.live.begin(this.#at(stream_s)), stream_s);
  }

  carryOut(commands: readonly SweepCommand[], stream_s: number): void {
    this.#carryOut(commands, stream_s);
  }

  accept(raw: RawLine, events: readonly StreamEvent[]): void {
    const { origin_s } = this.#o;
    const shifted = events.map((event) => shiftEvent(event, -origin_s));
    for (const event of shifted) if (event.kind === 'reading') this.#readings.push(event.reading);
    this.#carryOut(
      this.#o.live.accept({ ...raw, arrival_s: this.#at(raw.arrival_s) }, shifted),
      raw.arrival_s,
    );
  }

  gap(because: GapReason, stream_s: number): void {
    this.#carryOut(this.#o.live.gap(this.#at(stream_s), because), stream_s);
    this.#keeper.flush();
  }

  instrumentBack(stream_s: number): void {
    this.#carryOut(this.#o.live.instrumentBack(this.#at(stream_s)), stream_s);
  }

  pause(stream_s: number): void {
    this.#carryOut(this.#o.live.pause(this.#at(stream_s)), stream_s);
  }

  goOn(stream_s: number): void {
    this.#carryOut(this.#o.live.goOn(this.#at(stream_s)), stream_s);
  }

  strike(index: number, reason: string, stream_s: number): Outcome<true> {
    const start_s = this.#o.live.analysis?.catches[index]?.start_s;
    const struck = this.#o.live.strike(index, reason, this.#at(stream_s));
    if (!struck.ok) return struck;
    if (start_s !== undefined)
      this.#add({
        ...this.#o.envelope(),
        kind: 'strike',
        start_s: this.#keptNear(start_s)?.start_s ?? start_s,
        reason,
      });
    this.#carryOut(struck.value, stream_s);
    return { ok: true, value: true };
  }

  strikeStarted(start_s: number, reason: string, stream_s: number): Outcome<true> {
    const before = this.#o.live.analysis?.catches ?? [];
    const struck = this.#o.live.strikeStarted(start_s, reason, this.#at(stream_s));
    if (!struck.ok) return struck;
    // One still in hand has no record yet; its strike stands in the capture, and is recorded with it when it closes.
    for (const [index, { start_s: at_s, struck: isStruck }] of this.#o.live.analysis?.catches.entries() ??
      []) {
      const kept = isStruck && before[index]?.struck === false ? this.#keptNear(at_s) : undefined;
      if (kept !== undefined)
        this.#add({ ...this.#o.envelope(), kind: 'strike', start_s: kept.start_s, reason });
    }
    this.#carryOut(struck.value, stream_s);
    return { ok: true, value: true };
  }

  undoStrike(index: number, stream_s: number): Outcome<true> {
    const start_s = this.#o.live.analysis?.catches[index]?.start_s;
    const undone = this.#o.live.undoStrike(index, this.#at(stream_s));
    if (!undone.ok) return undone;
    if (start_s !== undefined)
      this.#add({
        ...this.#o.envelope(),
        kind: 'undo-strike',
        start_s: this.#keptNear(start_s)?.start_s ?? start_s,
      });
    this.#carryOut(undone.value, stream_s);
    return { ok: true, value: true };
  }

  /** A check of scale or rig after (or in) this sweep: marked, computed anew, and kept as it now stands. */
  scaleChecked(mark: CheckMark, stream_s: number): void {
    this.#carryOut(this.#o.live.scaleChecked(mark, this.#at(stream_s)), stream_s);
    this.#keeper.flush();
    this.#o.changed();
  }

  end(stream_s: number): void {
    this.#carryOut(this.#o.live.end(this.#at(stream_s)), stream_s);
  }

  /** What a person has just done is not left to the next second. */
  keepNow(): void {
    this.#keeper.flush();
  }

  get live(): Sweep {
    return this.#o.live;
  }

  /** The whole capture as a file would hold it. */
  async captureText(): Promise<string> {
    return this.#o.live.headerText + (await this.#keeper.text());
  }

  get headerText(): string {
    return this.#o.live.headerText;
  }

  /** The marks of the capture so far, one line each. */
  get marks(): string {
    return this.#marks.text;
  }

  view(): SweepView {
    const done = this.#o.live.phase === 'done';
    return {
      ...this.#o.live.view(),
      sweepId: this.sweepId,
      setup: this.#o.setup,
      simulated: this.#o.simulated,
      trueNozzleConstant_m3_per_s_per_sqrtPa: done ? this.#o.trueNozzleConstant_m3_per_s_per_sqrtPa : null,
      conditions: done ? this.#o.conditions : null,
      faults: done ? (this.#o.faults ?? null) : null,
      ...(this.#o.trueNozzleShares && { trueNozzleShares: done ? this.#o.trueNozzleShares : null }),
      notKept: this.#notKept,
      budgets: done ? this.#budgets.of(this.#o.live.budgetFacts) : null,
    };
  }

  /** All that was handed to the store so far has been written or has failed and been told. */
  async settled(): Promise<void> {
    await this.#keeper.settled();
    await this.#writing;
  }

  #at(stream_s: number): number {
    return stream_s - this.#o.origin_s;
  }

  #carryOut(commands: readonly SweepCommand[], stream_s: number): void {
    for (const command of commands) {
      switch (command.kind) {
        case 'announce':
          this.#o.announce(command.announcement, command.at_s);
          this.#o.changed();
          break;
        case 'keep-text':
          this.#keeper.append(command.text, stream_s);
          this.#marks.add(command.text);
          break;
        case 'catch-closed':
          this.#keepCatch(command.index);
          this.#keeper.flush();
          break;
        case 'catch-withdrawn':
          this.#keepWithdrawn(command.start_s, command.because);
          break;
        case 'finished':
          this.#keeper.flush();
          this.#keepEnd();
          break;
      }
    }
  }

  #keepCatch(index: number): void {
    const shown = this.#o.live.analysis?.catches[index];
    if (shown === undefined) return;
    const around = this.#readings
      .toArray()
      .filter((r) => r.time_s >= shown.start_s - AROUND_CATCH_S && r.time_s <= shown.stop_s + AROUND_CATCH_S);
    const record: CatchRecord = {
      ...this.#o.envelope(),
      kind: 'catch',
      index,
      start_s: shown.start_s,
      stop_s: shown.stop_s,
      setting_Pa: shown.setting_Pa,
      shown,
      estimatorVersion: this.#o.live.analysis?.estimatorVersion ?? '',
    };
    this.#kept.push({ id: record.id, start_s: shown.start_s });
    const columns = packColumns(columnsFromReadings(around));
    this.#write(() => this.#o.store.addCatch(record, columns));
    // Struck while it ran: the strike is a record of its own, like any other.
    const reason = this.#o.live.view().catches[index]?.struckReason;
    if (reason !== null && reason !== undefined) {
      this.#add({ ...this.#o.envelope(), kind: 'strike', start_s: shown.start_s, reason });
    }
  }

  #keepWithdrawn(start_s: number, because: WithdrawnReason): void {
    const withdrawn = this.#keptNear(start_s);
    if (withdrawn === undefined) return;
    withdrawn.withdrawn = true;
    this.#add({
      ...this.#o.envelope(withdrawn.id),
      kind: 'catch-withdrawn',
      start_s: withdrawn.start_s,
      because,
    });
  }

  /** A catch's start as it was kept: the clock has moved it by milliseconds since. What was withdrawn there and caught anew counts once. */
  #keptNear(start_s: number) {
    return this.#kept.findLast(
      (kept) => kept.withdrawn === undefined && Math.abs(kept.start_s - start_s) < SAME_START_S,
    );
  }

  #keepEnd(): void {
    const { analysis, picture } = this.#o.live;
    if (analysis === null) return;
    const record: SweepEndRecord = {
      ...this.#o.envelope(),
      kind: 'sweep-end',
      because: 'done',
      shown: shownResult(analysis, picture),
      marks: this.#marks.text,
    };
    this.#add(record);
  }

  #add(record: Parameters<BenchStore['add']>[0]): void {
    this.#write(() => this.#o.store.add(record));
  }

  #write(task: () => Promise<Outcome<true>>): void {
    this.#writing = this.#writing.then(async () => {
      const kept = await task();
      if (!kept.ok) this.#trouble(kept.because);
    });
  }

  #trouble(because: Because): void {
    // The first trouble is the one to tell: what follows only follows from it.
    this.#notKept ??= because;
    this.#o.changed();
  }
}
