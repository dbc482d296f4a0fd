import { estimatorVersion } from '../../src/analysis/sweep/capture-analyser.ts';
import { ok, refused, type Outcome } from '../../src/base/outcome.ts';
import { checkSetup } from '../../src/session/plan.ts';
import type {
  AnalysedFile,
  BenchSink,
  BenchView,
  BenchWorker,
  HandCatch,
  KeptByHand,
  KeptSweep,
  SerialRequest,
  SimulatedBenchRequest,
  SimulatedSpeed,
  SweepSetup,
  WayCompared,
} from '../contract.ts';
import { refuseTooBig } from '../../src/signal/captures/read.ts';
import { analyseText, textOf } from './analyse-text.ts';
import { APP_VERSION } from './app-version.ts';
import { SerialSource } from './device/serial-source.ts';
import { serialHere } from './device/serial-here.ts';
import { describeSerial } from './device/describe-serial.ts';
import type { Source } from './device/source.ts';
import { InstrumentLine, type LineListener } from './instrument-line.ts';
import { OneAtATime } from './one-at-a-time.ts';
import { PageLink } from './page-link.ts';
import type { RunningSweep } from './running-sweep.ts';
import { beginSweep, takeUpSweep } from './start-sweep.ts';
import { memoryStore } from './storage/memory-store.ts';
import type { BenchStore } from './storage/bench-store.ts';
import { openStoreOrMemory } from './storage/open-store.ts';
import { TraceBuffer } from './trace-buffer.ts';

/** The worker's side of the contract: one instrument, at most one running sweep, one store. */
export class BenchService implements BenchWorker {
  #store: BenchStore = memoryStore();
  #sweep: RunningSweep | null = null;
  #simulatedRequest: SimulatedBenchRequest | null = null;
  readonly #line = new InstrumentLine(this.#listener());
  readonly #trace = new TraceBuffer();
  readonly #page = new PageLink(() => this.#view(), this.#trace);
  /** Opening, closing, starting and taking up wait for each other; what a running sweep is told does not. */
  readonly #turns = new OneAtATime();
  readonly #openStore: typeof openStoreOrMemory;

  constructor(openStore: typeof openStoreOrMemory = openStoreOrMemory) {
    this.#openStore = openStore;
  }

  async hello(sink: BenchSink): ReturnType<BenchWorker['hello']> {
    const { store, storage } = await this.#openStore();
    this.#store = store;
    this.#page.connect(sink);
    return { appVersion: APP_VERSION, estimatorVersion, storage };
  }

  openSimulated(request: SimulatedBenchRequest): Promise<Outcome<true>> {
    return this.#turns.run(async () => {
      if (this.#isSweepRunning()) return refused('sweep-running');
      this.#simulatedRequest = request;
      return this.#open((await simulation()).openSimulatedSource(request), request.speed);
    });
  }

  setSpeed(speed: SimulatedSpeed): Promise<Outcome<true>> {
    const { source, monitor } = this.#line;
    if (source?.setSpeed === undefined) return Promise.resolve(refused('instrument-not-open'));
    source.setSpeed(speed);
    monitor.setSpeed(speed);
    this.#page.changed();
    return Promise.resolve(ok(true));
  }

  openSerial(request: SerialRequest): Promise<Outcome<true>> {
    return this.#turns.run(async () => {
      if (this.#isSweepRunning()) return refused('sweep-running');
      const serial = serialHere();
      if (serial === null) return refused('no-serial-here');
      const description = describeSerial(request);
      if (!description.ok) return description;
      const source = new SerialSource({
        serial,
        portIndex: request.portIndex,
        baudRate: request.baudRate,
        description: description.value,
        clock_s: () => performance.now() / 1000,
      });
      return this.#open(source, null);
    });
  }

  closeInstrument(): Promise<Outcome<true>> {
    return this.#turns.run(async () => {
      if (this.#isSweepRunning()) return refused('sweep-running');
      await this.#line.close();
      this.#sweep = null;
      this.#trace.restart();
      this.#page.changed();
      return ok(true);
    });
  }

  startSweep(setup: SweepSetup): Promise<Outcome<{ readonly sweepId: string }>> {
    return this.#turns.run(async () => {
      if (this.#isSweepRunning()) return refused('sweep-running');
      const checked = checkSetup(setup);
      if (!checked.ok) return checked;
      const { source, monitor } = this.#line;
      if (source === null) return refused('instrument-not-open');
      // A port that was lost, or fell silent, has had readings; asking somebody to spray would go unheard.
      if (!source.simulated && monitor.view.state !== 'reading') return refused('no-readings-yet');
      await this.#sweep?.settled();
      const begun = await beginSweep(setup, source, this.#sweepEnvironment());
      return this.#run(begun);
    });
  }

  resumeSweep(sweepId: string): Promise<Outcome<{ readonly sweepId: string }>> {
    return this.#turns.run(async () => {
      if (this.#isSweepRunning()) return refused('sweep-running');
      await this.#sweep?.settled();
      const { source } = this.#line;
      const taken = await takeUpSweep(sweepId, source, this.#sweepEnvironment(), async (record) => {
        const request = this.#simulatedRequest ?? defaultSimulated;
        const bench = (await simulation()).simulatedLike(request, record);
        if (bench === null) return refused('another-kind-of-instrument');
        const opened = await this.#open(bench, request.speed);
        return opened.ok ? ok(bench) : opened;
      });
      if (!taken.ok) return taken;
      return this.#run(taken);
    });
  }

  pause(): Promise<Outcome<true>> {
    return this.#withSweep((sweep, now_s) => sweep.pause(now_s));
  }

  goOn(): Promise<Outcome<true>> {
    return this.#withSweep((sweep, now_s) => sweep.goOn(now_s));
  }

  strike(catchIndex: number, reason: string): Promise<Outcome<true>> {
    return this.#withSweep((sweep, now_s) => sweep.strike(catchIndex, reason, now_s));
  }

  strikeStarted(start_s: number, reason: string): Promise<Outcome<true>> {
    return this.#withSweep((sweep, now_s) => sweep.strikeStarted(start_s, reason, now_s));
  }

  undoStrike(catchIndex: number): Promise<Outcome<true>> {
    return this.#withSweep((sweep, now_s) => sweep.undoStrike(catchIndex, now_s));
  }

  endSweep(): Promise<Outcome<true>> {
    return this.#withSweep((sweep, now_s) => sweep.end(now_s));
  }

  listSweeps(): Promise<Outcome<readonly KeptSweep[]>> {
    return this.#store.sweeps();
  }

  async openSweep(sweepId: string): Promise<Outcome<AnalysedFile & { readonly setup: SweepSetup }>> {
    await this.#sweep?.settled();
    return (await keptSweeps()).openKept(this.#store, sweepId);
  }

  async compareOtherWay(sweepId: string): Promise<Outcome<WayCompared>> {
    await this.#sweep?.settled();
    return (await otherWay()).compareOtherWay(this.#store, sweepId);
  }

  async exportCapture(sweepId: string): Promise<Outcome<{ readonly name: string; readonly text: string }>> {
    if (this.#sweep?.sweepId === sweepId)
      return ok({ name: `catchbench-${sweepId}.txt`, text: await this.#sweep.captureText() });
    return (await keptSweeps()).keptCapture(this.#store, sweepId);
  }

  async analyseFile(name: string, file: Blob): Promise<Outcome<AnalysedFile>> {
    return refuseTooBig(file.size) ?? analyseText(name, textOf(file));
  }

  async analyseByHand(setup: SweepSetup, catches: readonly HandCatch[]): Promise<Outcome<AnalysedFile>> {
    return (await handTimed()).analyseHandTimed(setup, catches);
  }

  async keepByHand(
    setup: SweepSetup,
    catches: readonly HandCatch[],
    earlier: KeptByHand | null,
  ): Promise<Outcome<KeptByHand>> {
    return (await handTimed()).keepHandTimed(this.#store, setup, catches, earlier);
  }

  // ---- the instrument

  async #open(source: Source, speed: SimulatedSpeed | null): Promise<Outcome<true>> {
    this.#sweep = null;
    this.#trace.restart();
    const opened = await this.#line.open(source, speed);
    this.#page.changed();
    return opened;
  }

  #listener(): LineListener {
    return {
      reading: ({ arrival_s, time_s, mass_kg }) => {
        this.#sweep?.instrumentBack(arrival_s);
        this.#trace.add(time_s - (this.#sweep?.origin_s ?? 0), mass_kg);
      },
      line: (raw, events) => {
        this.#sweep?.accept(raw, events);
        this.#tellPerson();
      },
      gap: (because, at_s) => {
        this.#sweep?.gap(because, at_s);
        this.#trace.add(at_s - (this.#sweep?.origin_s ?? 0), null);
        this.#tellPerson();
      },
      changed: () => this.#page.changed(),
    };
  }

  /** The simulated person hears what a real one would be told now. */
  #tellPerson(): void {
    const { source } = this.#line;
    if (this.#sweep !== null && source !== null) source.follow(this.#sweep.live.prompt, source.now_s());
  }

  // ---- the sweep

  #run(begun: Outcome<RunningSweep>): Outcome<{ readonly sweepId: string }> {
    if (!begun.ok) return begun;
    this.#sweep = begun.value;
    this.#trace.restart();
    this.#tellPerson();
    this.#page.changed();
    return ok({ sweepId: begun.value.sweepId });
  }

  #sweepEnvironment(): Parameters<typeof beginSweep>[2] {
    return {
      store: this.#store,
      announce: (announcement, at_s) => this.#page.announce(announcement, at_s),
      changed: () => this.#page.changed(),
    };
  }

  #isSweepRunning(): boolean {
    return this.#sweep !== null && this.#sweep.live.phase !== 'done';
  }

  #withSweep(action: (sweep: RunningSweep, now_s: number) => unknown): Promise<Outcome<true>> {
    const { source } = this.#line;
    if (this.#sweep === null || source === null) return Promise.resolve(refused('no-sweep-running'));
    const answer = (action(this.#sweep, source.now_s()) as Outcome<true> | undefined) ?? ok(true);
    this.#sweep.keepNow();
    this.#tellPerson();
    this.#page.changed();
    return Promise.resolve(answer);
  }

  #view(): BenchView {
    return { instrument: this.#line.monitor.view, sweep: this.#sweep?.view() ?? null };
  }
}

const defaultSimulated: SimulatedBenchRequest = {
  scenario: 'typical',
  seed: 1,
  speed: 20,
  instrument: 'scale',
  tipFlowAt275790Pa_m3_per_s: null,
};

// What a running sweep doesn't need is loaded when it is asked for, so that the worker starts lean.
const handTimed = () => import('./by-hand.ts');
const otherWay = () => import('./compare-other-way.ts');
const keptSweeps = () => import('./kept-sweeps.ts');

/** The simulation is loaded only when somebody asks for it: a person with a scale never needs its bytes. */
const simulation = () => import('./device/simulated-like.ts');

/** Plain functions bound to one service: Comlink sees only what the contract names. */
export function createBenchService(): BenchWorker {
  return new BenchService();
}
