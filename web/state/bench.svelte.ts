// Over 300 lines: the page has one worker to talk to, and every request to it is one short method here.
import type { BenchConnection } from '../client.ts';
import type {
  Announcement,
  AnalysedFile,
  BenchSink,
  BenchView,
  BenchWorker,
  CheckRequest,
  KeptSweep,
  Outcome,
  Refusal,
  RigCheckPrompt,
  RigCheckRequest,
  ScaleDecision,
  SerialRequest,
  SimulatedBenchRequest,
  SimulatedSpeed,
  SweepSetup,
  TipPlan,
  TraceBatch,
  WayCompared,
} from '../contract.ts';
import { withUncertainty } from '../wording/number.ts';
import { captionOf, nextActionLabel, spokenOf, type AnnouncedHere } from '../wording/prompts.ts';
import { saysMore } from '../wording/running.ts';
import type { ShownUnits } from '../wording/units.ts';
import { beatOf } from './beat-of.ts';
import { LiveRegion } from './live-region.svelte.ts';
import { nothingOpen } from './nothing-open.ts';
import { Trace } from './trace.svelte.ts';

export const LIVE_WINDOW_S = 90;

/** `connectBench` of client.ts, or a fake. */
export type Connect = (sink: BenchSink) => Promise<BenchConnection>;

/** Tones and voice; mockable. `arm` is called inside the press on Go, or the browser stays silent. */
export interface Announcer {
  arm(): void;
  tell(kind: Announcement['kind'], spoken: string, voiceToo: boolean): void;
  /** The beat of a hand pump, kept up with each view; null: silence. */
  beat?(period_s: number | null): void;
}

export interface BenchSurroundings {
  readonly connect: Connect;
  readonly announcer: Announcer;
  readonly units: () => ShownUnits;
  readonly now_ms: () => number;
}

const endsNotice = new Set<Announcement['kind']>(['start-heard', 'resumed', 'done', 'instrument-lost']);

/** At a result only these are told: what the worker plans on with meanwhile is not asked of anybody yet. */
const toldAtResult = new Set<Announcement['kind']>([
  'struck',
  'done',
  'instrument-lost',
  'instrument-back',
  'check',
]);

const gone: Refusal = { ok: false, because: 'worker-stopped' };

/** The page's half of the bench: what the worker last showed, and the requests to it. Every refusal ends up as a value in `refusal`. */
export class Bench {
  view = $state.raw<BenchView>(nothingOpen);
  caption = $state.raw<AnnouncedHere | null>(null);
  /** What was said about the last catch or the instrument: stands until water is heard again, though other things are said. */
  notice = $state.raw<AnnouncedHere | null>(null);
  refusal = $state.raw<Refusal | null>(null);
  storageRefusal = $state.raw<Refusal | null>(null);
  busy = $state(false);
  connected = $state(false);
  /** The finished sweep the person has left behind; its view may still come from the worker. */
  leftSweepId = $state<string | null>(null);
  /** The sweep whose result stands there: it stays, though a strike makes the plan go on, until the person goes on. */
  #resultOf = $state<string | null>(null);
  /** The water is being shut off for a pause or a strike, or was. */
  pausing = $state(false);
  readonly trace = new Trace(LIVE_WINDOW_S);
  readonly live: LiveRegion;
  readonly sweep = $derived.by(() => {
    const sweep = this.view.sweep;
    return sweep !== null && sweep.sweepId !== this.leftSweepId ? sweep : null;
  });
  readonly showsResult = $derived(
    this.sweep !== null && (this.sweep.phase === 'done' || this.sweep.sweepId === this.#resultOf),
  );
  /** The check that runs, or that is over and not put away. */
  readonly check = $derived(this.view.check ?? null);
  readonly rigCheck = $derived(this.view.rigCheck ?? null);
  readonly checkRuns = $derived(
    (this.check !== null && this.check.result === null && this.check.failed === null) ||
      this.rigCheck?.isOver === false,
  );
  readonly #surroundings: BenchSurroundings;
  readonly #worker: Promise<BenchWorker | null>;

  constructor(surroundings: BenchSurroundings) {
    this.#surroundings = surroundings;
    this.live = new LiveRegion(surroundings.now_ms);
    const sink: BenchSink = {
      view: (view) => this.#see(view),
      trace: (batch) => this.trace.add(batch),
      announce: (announcement) => this.#hear(announcement),
    };
    this.#worker = surroundings.connect(sink).then(
      (connection) => {
        this.connected = true;
        this.storageRefusal = connection.hello.storage.ok ? null : connection.hello.storage;
        void connection.crashed.then(() => (this.refusal = gone));
        return connection.worker;
      },
      () => {
        this.refusal = gone;
        return null;
      },
    );
  }

  /** Opens the simulated bench and begins: everything "Go" has to do there. */
  async goSimulated(request: SimulatedBenchRequest, setup: SweepSetup): Promise<boolean> {
    this.#surroundings.announcer.arm();
    const opened = await this.#ask((worker) => worker.openSimulated(request));
    return opened !== null && (await this.#begin(setup));
  }

  async go(setup: SweepSetup): Promise<boolean> {
    this.#surroundings.announcer.arm();
    return this.#begin(setup);
  }

  async openSimulated(request: SimulatedBenchRequest): Promise<boolean> {
    return (await this.#ask((worker) => worker.openSimulated(request))) !== null;
  }

  /** From here the check needs no touch. @param sweepId the finished sweep it is for; null: for what comes. */
  async startCheck(request: CheckRequest, sweepId: string | null): Promise<boolean> {
    this.#surroundings.announcer.arm();
    return (await this.#ask((worker) => worker.startCheck(request, sweepId))) !== null;
  }

  async dismissCheck(): Promise<void> {
    await this.#ask((worker) => worker.dismissCheck());
  }

  async decideCheck(decision: ScaleDecision): Promise<void> {
    await this.#ask((worker) => worker.decideCheck(decision));
  }

  /** From here only what eyes can read has to be typed. @param sweepId the finished sweep it settles something for; null: for what comes. */
  async startRigCheck(request: RigCheckRequest, sweepId: string | null): Promise<boolean> {
    this.#surroundings.announcer.arm();
    return (await this.#ask((worker) => worker.startRigCheck(request, sweepId))) !== null;
  }

  /** A number that was read, Pa; null: the large button. */
  async answerRigCheck(value_Pa: number | null): Promise<boolean> {
    return (await this.#ask((worker) => worker.answerRigCheck(value_Pa))) !== null;
  }

  /** What has to be undone then stands until it is dismissed. */
  async stopRigCheck(): Promise<void> {
    await this.#ask((worker) => worker.stopRigCheck());
  }

  async dismissRigCheck(): Promise<void> {
    await this.#ask((worker) => worker.dismissRigCheck());
  }

  async openSerial(request: SerialRequest): Promise<boolean> {
    return (await this.#ask((worker) => worker.openSerial(request))) !== null;
  }

  async closeInstrument(): Promise<void> {
    await this.#ask((worker) => worker.closeInstrument());
  }

  async setSpeed(speed: SimulatedSpeed): Promise<void> {
    await this.#ask((worker) => worker.setSpeed(speed));
  }

  /** The one large button, the space bar, the foot switch. */
  async nextThing(): Promise<void> {
    if (this.sweep === null) return;
    const label = nextActionLabel(this.sweep.phase);
    if (label === 'Pause') await this.#ask((worker) => worker.pause());
    if (label === 'Go on') await this.goOn();
  }

  async goOn(): Promise<void> {
    await this.#ask((worker) => worker.goOn());
  }

  async strike(index: number, reason: string): Promise<boolean> {
    return (await this.#ask((worker) => worker.strike(index, reason))) !== null;
  }

  /**
   * Strikes the catch that began then, in hand or closed meanwhile.
   * @returns false when it was not struck; `refusal` is `reason-needed` when it has closed and no reason was given.
   */
  async strikeStarted(start_s: number, reason: string): Promise<boolean> {
    return (await this.#ask((worker) => worker.strikeStarted(start_s, reason))) !== null;
  }

  /** From the result: the worker plans the struck catch anew at once, so it is held in a pause until the person goes on. */
  async strikeAtResult(index: number, reason: string): Promise<boolean> {
    const struck = await this.strike(index, reason);
    if (struck) await this.#ask((worker) => worker.pause());
    return struck;
  }

  /** From the result back to measuring. */
  async measureMore(): Promise<void> {
    this.#resultOf = null;
    await this.goOn();
  }

  async undoStrike(index: number): Promise<void> {
    await this.#ask((worker) => worker.undoStrike(index));
  }

  async endSweep(): Promise<void> {
    await this.#ask((worker) => worker.endSweep());
  }

  /** @param bench for a simulated sweep: the bench to open first if none is; the worker puts the same invented tip on it. */
  async resume(sweepId: string, bench: SimulatedBenchRequest | null): Promise<boolean> {
    this.#surroundings.announcer.arm();
    if (bench !== null && this.view.instrument.source === 'none') {
      const opened = await this.#ask((worker) => worker.openSimulated(bench));
      if (opened === null) return false;
    }
    const resumed = await this.#ask((worker) => worker.resumeSweep(sweepId));
    if (resumed !== null) this.#enter();
    return resumed !== null;
  }

  /** Back to the first choice; the sweep stays in the Log. A simulated bench is put away, a real instrument stays open. */
  async leave(): Promise<void> {
    if (this.sweep !== null && this.sweep.phase !== 'done') await this.endSweep();
    this.leftSweepId = this.view.sweep?.sweepId ?? null;
    this.#resultOf = null;
    this.refusal = null;
    this.caption = null;
    this.notice = null;
    if (this.view.instrument.simulated) await this.closeInstrument();
  }

  async listSweeps(): Promise<readonly KeptSweep[] | null> {
    return this.#ask((worker) => worker.listSweeps());
  }

  /** The list without a word when it can't be had: for a hint, not for the Log. */
  async peekSweeps(): Promise<readonly KeptSweep[]> {
    try {
      const outcome = await (await this.#worker)?.listSweeps();
      return outcome?.ok === true ? outcome.value : [];
    } catch {
      return [];
    }
  }

  /** The whole trace of a kept sweep, or null without a word: the result stands without it. */
  async peekTrace(sweepId: string): Promise<TraceBatch | null> {
    try {
      const outcome = await (await this.#worker)?.openSweep(sweepId);
      return outcome?.ok === true ? outcome.value.trace : null;
    } catch {
      return null;
    }
  }

  async openSweep(sweepId: string): Promise<(AnalysedFile & { readonly setup: SweepSetup }) | null> {
    return this.#ask((worker) => worker.openSweep(sweepId));
  }

  /** Its refusal is told where it was asked, not at the top of the page. */
  async compareOtherWay(sweepId: string): Promise<Outcome<WayCompared>> {
    return this.outcome((worker) => worker.compareOtherWay(sweepId));
  }

  /** Told beside the field, or not at all: nothing waits for it. */
  async planTips(setup: SweepSetup): Promise<Outcome<TipPlan>> {
    try {
      return (await (await this.#worker)?.planTips(setup)) ?? gone;
    } catch {
      return gone;
    }
  }

  async exportCapture(sweepId: string): Promise<{ readonly name: string; readonly text: string } | null> {
    return this.#ask((worker) => worker.exportCapture(sweepId));
  }

  /** Reads and analyses; a file that vanished between choosing and reading is refused like any other. */
  async analyseFile(name: string, file: Blob): Promise<AnalysedFile | null> {
    return this.#ask((worker) => worker.analyseFile(name, file));
  }

  /** A refusal that the page itself found. */
  refuse(because: Refusal['because'], facts: Record<string, string | number> = {}): void {
    this.refusal = { ok: false, because, facts };
  }

  /** What was refused is being put right. */
  forgetRefusal(): void {
    this.refusal = null;
  }

  /** The answer as it came: for a question whose refusal is told where it was asked, not at the top of the page. */
  async outcome<T>(request: (worker: BenchWorker) => Promise<Outcome<T>>): Promise<Outcome<T>> {
    try {
      const worker = await this.#worker;
      return worker === null ? gone : await request(worker);
    } catch {
      return gone;
    }
  }

  async byHand<T>(request: (worker: BenchWorker) => Promise<Outcome<T>>): Promise<T | null> {
    return this.#ask(request);
  }

  async #begin(setup: SweepSetup): Promise<boolean> {
    const started = await this.#ask((worker) => worker.startSweep(setup));
    if (started !== null) this.#enter();
    return started !== null;
  }

  #enter(): void {
    this.leftSweepId = null;
    this.#resultOf = null;
  }

  /** @returns the value, or null with the reason in `refusal`. */
  async #ask<T>(request: (worker: BenchWorker) => Promise<Outcome<T>>): Promise<T | null> {
    this.busy = true;
    this.refusal = null;
    try {
      const worker = await this.#worker;
      const outcome: Outcome<T> = worker === null ? gone : await request(worker);
      if (outcome.ok) return outcome.value;
      this.refusal = outcome;
      return null;
    } catch {
      this.refusal = gone;
      return null;
    } finally {
      this.busy = false;
    }
  }

  #see(view: BenchView): void {
    this.view = view;
    if (view.sweep?.phase === 'done') this.#resultOf = view.sweep.sweepId;
    this.#surroundings.announcer.beat?.(beatOf(view));
    const prompt = view.sweep?.prompt;
    if (prompt?.kind === 'shut-off') this.pausing = prompt.because === 'paused';
    else if (prompt?.kind !== 'hold-still') this.pausing = false;
    const running = view.sweep?.running;
    if (running?.flow_m3_per_s == null || running.expanded_m3_per_s == null) return;
    const { flow } = this.#surroundings.units();
    const cut = withUncertainty(flow.fromSI(running.flow_m3_per_s), flow.fromSI(running.expanded_m3_per_s));
    if (cut !== null) this.live.number(`${cut.value} ${flow.label} so far, give or take ${cut.plusMinus}`);
  }

  #hear(announcement: Announcement): void {
    if (announcement.kind === 'rig-check') {
      void this.#hearRigCheck(announcement.prompt);
      return;
    }
    if (this.showsResult && !toldAtResult.has(announcement.kind)) return;
    this.caption = announcement;
    if (saysMore(announcement)) this.notice = announcement;
    else if (endsNotice.has(announcement.kind)) this.notice = null;
    this.#tell(announcement.kind, captionOf(announcement, this.#surroundings.units()));
  }

  /** Its words come with its screen. */
  async #hearRigCheck(prompt: RigCheckPrompt): Promise<void> {
    const { rigCheckLine } = await import('../wording/rig-check-line.ts');
    this.#tell('rig-check', rigCheckLine(prompt, this.#surroundings.units()));
  }

  #tell(kind: Announcement['kind'], text: string): void {
    this.live.tell(text);
    // Twenty times real time leaves no room for speech; the tones and the captions tell it all.
    const voiceToo = (this.view.instrument.speed ?? 1) < 20;
    this.#surroundings.announcer.tell(kind, spokenOf(text, this.#surroundings.units()), voiceToo);
  }
}
