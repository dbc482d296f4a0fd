// Over 300 lines: the contract is one object, and every method of it is one short one here; the work is done in the files it names.
import { estimatorVersion } from '../../src/analysis/sweep/estimator-version.ts';
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
  CheckRequest,
  RigCheckRequest,
  RackSource,
  RackView,
  ScaleDecision,
  SerialRequest,
  SimulatedBenchRequest,
  SimulatedSpeed,
  SweepSetup,
  TipFacts,
  TipsCompared,
  TipPlan,
  WayCompared,
} from '../contract.ts';
import { refuseTooBig } from '../../src/signal/captures/read.ts';
import { APP_VERSION } from './app-version.ts';
import { SerialSource } from './device/serial-source.ts';
import { serialHere } from './device/serial-here.ts';
import { describeSerial } from './device/describe-serial.ts';
import type { Source } from './device/source.ts';
import type { RigChecks } from './rig-check/rig-checks.ts';
import type { InstrumentChecks } from './checks/instrument-checks.ts';
import { InstrumentLine, type LineListener } from './instrument-line.ts';
import { OneAtATime } from './one-at-a-time.ts';
import { PageLink } from './page-link.ts';
import type { RunningSweep } from './running-sweep.ts';
import type { SweepEnvironment } from './start-sweep.ts';
import { memoryStore } from './storage/memory-store.ts';
import type { BenchStore } from './storage/bench-store.ts';
import { openStoreOrMemory } from './storage/open-store.ts';
import { TraceBuffer } from './trace-buffer.ts';

/** The worker's side of the contract: one instrument, at most one running sweep, one store. */
export class BenchService implements BenchWorker {
  #store: BenchStore = memoryStore();
  #sweep: RunningSweep | null = null;
  #simulatedRequest: SimulatedBenchRequest | null = null;
  /** Of the instrument that is open; null before its first check. */
  #checks: InstrumentChecks | null = null;
  /** Of rigs, since the instrument was opened (or put away); null before the first. */
  #rigChecks: RigChecks | null = null;
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
      this.#forgetChecks();
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
      if (this.#isCheckRunning()) return refused('check-running');
      if (this.#checks?.inForce.scale?.decision === 'refuse') return refused('scale-refused');
      this.#checks?.dismiss();
      this.#rigChecks?.dismiss();
      // A port that was lost, or fell silent, has had readings; asking somebody to spray would go unheard.
      if (weighsNothing(source) && setup.routine?.kind === 'boom') return refused('routine-needs-a-scale');
      if (weighsNothing(source) && !isPlain(setup)) return refused('meter-alone-needs-held-pressure');
      if (setup.settingsFrom === 'sensor' && !readsPressure(source)) return refused('no-pressure-sensor');
      if (!source.simulated && monitor.view.state !== 'reading') return refused('no-readings-yet');
      await this.#sweep?.settled();
      const begun = await (
        await sweeps()
      ).beginSweep(
        setup,
        source,
        this.#sweepEnvironment(),
        this.#checks === null ? {} : (await instrumentChecks()).headerOfChecks(this.#checks.inForce),
        this.#rigChecks?.foundOf(setup.rig.name) ?? [],
      );
      return this.#run(begun);
    });
  }

  async planTips(setup: SweepSetup): Promise<Outcome<TipPlan>> {
    return (await tipPlans()).planTips(this.#store, setup, this.#line.source?.simulated ?? false);
  }

  resumeSweep(sweepId: string): Promise<Outcome<{ readonly sweepId: string }>> {
    return this.#turns.run(async () => {
      if (this.#isSweepRunning()) return refused('sweep-running');
      // The lines of a check go to the check alone: a sweep taken up beside it would have a hole that nobody marked.
      if (this.#isCheckRunning()) return refused('check-running');
      this.#checks?.dismiss();
      this.#rigChecks?.dismiss();
      await this.#sweep?.settled();
      const { source } = this.#line;
      const taken = await (
        await sweeps()
      ).takeUpSweep(sweepId, source, this.#sweepEnvironment(), async (record) => {
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

  startCheck(request: CheckRequest, sweepId: string | null): Promise<Outcome<true>> {
    return this.#turns.run(async () => {
      if (this.#isSweepRunning()) return refused('sweep-running');
      const { source, monitor } = this.#line;
      if (source === null) return refused('instrument-not-open');
      if (this.#rigChecks?.isRunning === true) return refused('check-running');
      if (!source.simulated && monitor.view.state !== 'reading') return refused('no-readings-yet');
      const sweep = sweepId === null ? null : this.#sweep;
      if (sweep !== null && sweep.sweepId !== sweepId) return refused('record-not-found');
      this.#checks ??= new (await instrumentChecks()).InstrumentChecks(source, {
        store: this.#store,
        announce: (prompt) => this.#page.announce({ kind: 'check', prompt }, source.now_s()),
        changed: () => this.#page.changed(),
      });
      const begun = await this.#checks.begin(request, sweep);
      this.#tellPerson();
      this.#page.changed();
      return begun;
    });
  }

  dismissCheck(): Promise<Outcome<true>> {
    this.#checks?.dismiss();
    return Promise.resolve(ok(true));
  }

  startRigCheck(request: RigCheckRequest, sweepId: string | null): Promise<Outcome<true>> {
    return this.#turns.run(async () => {
      if (this.#isSweepRunning()) return refused('sweep-running');
      if (this.#isCheckRunning()) return refused('check-running');
      const { source, monitor } = this.#line;
      const isByEye = request.kind === 'dial-at-zero' || request.kind === 'wand-gauge';
      if (source?.simulated === false && !isByEye && monitor.view.state !== 'reading')
        return refused('no-readings-yet');
      const sweep = sweepId === null ? null : this.#sweep;
      if (sweep !== null && sweep.sweepId !== sweepId) return refused('record-not-found');
      this.#checks?.dismiss();
      this.#rigChecks ??= new (await rigChecks()).RigChecks(source, {
        store: this.#store,
        announce: (prompt) => this.#page.announce({ kind: 'rig-check', prompt }, source?.now_s() ?? 0),
        changed: () => this.#page.changed(),
      });
      if (source !== null) source.answered = (value_Pa) => void this.answerRigCheck(value_Pa);
      const begun = await this.#rigChecks.begin(request, sweep, this.#checks?.inForce ?? null);
      this.#tellPerson();
      this.#page.changed();
      return begun;
    });
  }

  answerRigCheck(value_Pa: number | null): Promise<Outcome<true>> {
    const answered = this.#rigChecks?.answer(value_Pa) ?? refused('no-rig-check-running');
    this.#tellPerson();
    return Promise.resolve(answered);
  }

  stopRigCheck(): Promise<Outcome<true>> {
    this.#rigChecks?.stop();
    return Promise.resolve(ok(true));
  }

  dismissRigCheck(): Promise<Outcome<true>> {
    this.#rigChecks?.dismiss();
    return Promise.resolve(ok(true));
  }

  decideCheck(decision: ScaleDecision): Promise<Outcome<true>> {
    return Promise.resolve(this.#checks?.decide(decision) ?? refused('nothing-to-decide'));
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

  async rack(source: RackSource, limitRatio?: number): Promise<Outcome<RackView>> {
    await this.#sweep?.settled();
    return (await rackPart()).rackOf(this.#store, source, limitRatio);
  }

  async compareTips(
    source: RackSource,
    keys: readonly string[],
    against: string,
  ): Promise<Outcome<TipsCompared>> {
    await this.#sweep?.settled();
    return (await rackPart()).compareTipsOf(this.#store, source, keys, against);
  }

  async saveTip(facts: TipFacts, simulated: boolean): Promise<Outcome<true>> {
    return (await rackPart()).saveTipFacts(this.#store, facts, simulated);
  }

  async exportCapture(sweepId: string): Promise<Outcome<{ readonly name: string; readonly text: string }>> {
    if (this.#sweep?.sweepId === sweepId)
      return ok({ name: `catchbench-${sweepId}.txt`, text: await this.#sweep.captureText() });
    return (await keptSweeps()).keptCapture(this.#store, sweepId);
  }

  async analyseFile(name: string, file: Blob): Promise<Outcome<AnalysedFile>> {
    const tooBig = refuseTooBig(file.size);
    if (tooBig !== null) return tooBig;
    const { analyseText, textOf } = await captures();
    return analyseText(name, textOf(file));
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
    void sweeps();
    this.#sweep = null;
    this.#forgetChecks();
    this.#trace.restart();
    const opened = await this.#line.open(source, speed);
    this.#page.changed();
    return opened;
  }

  /** They were of the instrument that is put away now. */
  #forgetChecks(): void {
    this.#checks?.dismiss();
    this.#checks = null;
    this.#rigChecks?.dismiss();
    this.#rigChecks = null;
  }

  #listener(): LineListener {
    return {
      reading: (reading) => {
        this.#sweep?.instrumentBack(reading.arrival_s);
        this.#trace.add(reading.time_s - (this.#sweep?.origin_s ?? 0), this.#line.heard(reading));
      },
      line: (raw, events) => {
        // What is put on for a check is no catch of the sweep before it.
        if (this.#checks?.isRunning === true) this.#checks.accept(events);
        else if (this.#rigChecks?.isRunning === true) this.#rigChecks.accept(events);
        else this.#sweep?.accept(raw, events);
        this.#tellPerson();
      },
      gap: (because, at_s) => {
        this.#sweep?.gap(because, at_s);
        this.#checks?.accept([{ kind: 'gap', at_s, because, linesLost: null }]);
        this.#rigChecks?.accept([{ kind: 'gap', at_s, because, linesLost: null }]);
        this.#trace.add(at_s - (this.#sweep?.origin_s ?? 0), null);
        this.#tellPerson();
      },
      changed: () => this.#page.changed(),
    };
  }

  /** The simulated person hears what a real one would be told now. */
  #tellPerson(): void {
    const { source } = this.#line;
    const prompt = this.#checks?.prompt ?? this.#rigChecks?.prompt ?? this.#sweep?.live.prompt;
    if (prompt !== undefined && source !== null) source.follow(prompt, source.now_s());
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

  #sweepEnvironment(): SweepEnvironment {
    return {
      store: this.#store,
      announce: (announcement, at_s) => this.#page.announce(announcement, at_s),
      changed: () => this.#page.changed(),
    };
  }

  #isCheckRunning(): boolean {
    return this.#checks?.isRunning === true || this.#rigChecks?.isRunning === true;
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
    return {
      instrument: this.#line.monitor.view,
      sweep: this.#sweep?.view() ?? null,
      ...(this.#checks !== null && { check: this.#checks.view, checks: this.#checks.inForce }),
      ...(this.#rigChecks !== null && { rigCheck: this.#rigChecks.view, rigFound: this.#rigChecks.found }),
    };
  }
}

function weighsNothing({ description }: Source): boolean {
  return description.kind === 'bench-board' && description.kilogramsPerCount === 0;
}

/** Water that a meter alone can tell: no strokes, no fall, no swelling, nothing that would have to be weighed. */
function isPlain({ rig }: SweepSetup): boolean {
  return rig.kind === 'held' && rig.standsOnScale === 'pail';
}

function readsPressure({ description }: Source): boolean {
  return description.kind === 'bench-board' && description.pressureFullScale_Pa !== null;
}

const defaultSimulated: SimulatedBenchRequest = {
  scenario: 'typical',
  seed: 1,
  speed: 20,
  instrument: 'scale',
  tipFlowAt275790Pa_m3_per_s: null,
};

// Everything but the instrument and the store is loaded when it is asked for, so that the worker starts lean. The sweep's own part is
// fetched as soon as an instrument is opened: at "go" it is there.
const sweeps = () => import('./start-sweep.ts');
const captures = () => import('./analyse-text.ts');
const handTimed = () => import('./by-hand.ts');
const otherWay = () => import('./compare-other-way.ts');
const tipPlans = () => import('./plan-tips.ts');
const keptSweeps = () => import('./kept-sweeps.ts');
const rigChecks = () => import('./rig-check/rig-checks.ts');
const rackPart = () => import('./rack/rack-service.ts');
const instrumentChecks = () => import('./checks/checks.ts');

/** The simulation is loaded only when somebody asks for it: a person with a scale never needs its bytes. */
const simulation = () => import('./device/simulated-like.ts');

/** Plain functions bound to one service: Comlink sees only what the contract names. */
export function createBenchService(): BenchWorker {
  return new BenchService();
}
