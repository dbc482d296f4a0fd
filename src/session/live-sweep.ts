// Over 300 lines: one state machine is read best in one place; what could stand alone (plan, pail, catch in hand, notebook) does.
import type { CaptureAnalyser } from '../analysis/sweep/capture-analyser.ts';
import type { BudgetFacts } from '../analysis/budget/capture-budgets.ts';
import type { AnalysedCatch, Analysis, CurvePicture } from '../analysis/sweep/analysis.ts';
import type { Because, GapReason } from '../base/because.ts';
import { ok, refused, type Outcome } from '../base/outcome.ts';
import { LEFT_OUT_AS_SHORT } from '../base/shortest-catch.ts';
import { createCatchDetector } from '../signal/catches/catch-detector.ts';
import type { CatchEvent, CatchListener, DetectedCatch } from '../signal/catches/catch-event.ts';
import type { CaptureHeader } from '../signal/captures/header.ts';
import type { CaptureMark } from '../signal/captures/mark.ts';
import { captureHeaderText } from '../signal/captures/write.ts';
import type { RawLine } from '../signal/lines/line-splitter.ts';
import type { StreamEvent } from '../signal/reading.ts';
import { rigFacts } from '../analysis/rigs/rig-facts.ts';
import { listeningOf } from '../analysis/sweep/rig-sweep.ts';
import { CatchInHand } from './catch-in-hand.ts';
import { nextSetting } from './plan.ts';
import { HeardWater } from './heard-water.ts';
import { createLoadWatch, type LoadWatch } from './load-watch.ts';
import type { Announcement, AskedNozzle, AskedOfRig, Prompt, ShutOffReason } from './prompt.ts';
import { MovedPail } from './routine/moved-pail.ts';
import { NozzleInTurn } from './routine/nozzle-in-turn.ts';
import { moreRounds } from './routine/more-rounds.ts';
import { SettingByPressure } from './setting-by-pressure.ts';
import type { RoutineView, SessionView, SweepPhase } from './session-view.ts';
import type { SweepCommand } from './sweep-command.ts';
import { SweepNotebook } from './sweep-notebook.ts';
import type { SweepSetup } from './sweep-setup.ts';
import type { CheckMark, Sweep } from './sweep.ts';

/** Person and detector need a few seconds more than the enough rule. */
const BESIDES_S = 5;
/** So long a catch must fit into an empty pail, or there is no measuring with it (eight seconds count, and the stop takes a few). */
const LEAST_FITTING_S = 12;
const WATER_KG_PER_M3 = 998;
/** Two starts nearer than this are one catch's. */
const SAME_START_S = 2;
/** The analysis hears with times put right, so it may close a catch a little later than the one who listens: so long it is waited for. */
const WAIT_FOR_CLOSE_S = 4;
const LOOK_AGAIN_EVERY_S = 0.5;

/** A catch that is over, and of which nothing was told yet. */
interface Closing {
  readonly caught: DetectedCatch;
  readonly strikeBecause: string | null;
  readonly wasUnasked: boolean;
  readonly closed_s: number;
  readonly looked_s: number;
}

export interface LiveSweepOptions {
  readonly setup: SweepSetup;
  readonly header: CaptureHeader;
  /** One entry a catch, from `makeOrder`. */
  readonly order: readonly number[];
}

/**
 * The hands-free sweep: fed raw lines and what they decode to, it answers with commands. All times are seconds since the
 * sweep's start, taken from the readings; nothing here knows a wall clock.
 */
export class LiveSweep implements Sweep {
  readonly #setup: SweepSetup;
  readonly #header: CaptureHeader;
  readonly #order: readonly number[];
  readonly #notebook: SweepNotebook;
  readonly #water: HeardWater;
  readonly #detector: CatchListener;
  readonly #pail: LoadWatch;
  /** Part of what is asked, where the rig is another than a held pressure into a pail. */
  readonly #asked: AskedOfRig;
  /** The scale shows what is left, not what was caught. */
  readonly #turned: boolean;
  readonly #inHand: CatchInHand;

  #phase: SweepPhase = 'ready';
  #prompt: Prompt = { kind: 'wait-for-instrument' };
  #setting_Pa: number | null = null;
  #pauseWanted = false;
  /** No readings can come: nothing may be asked of the person until they do. */
  #instrumentGone = false;
  /** The person ended it before the plan was done: a later strike does not reopen the plan. */
  #endedEarly = false;
  /** Water that ran without being asked for (paused, emptying): struck as soon as it closes. */
  #unasked = false;
  #strikeRunning: string | null = null;
  /** A sensor says which setting it is; null: settings are announced. */
  readonly #byPressure: SettingByPressure | null;
  #asked_Pa: number | null = null;
  /** The setting of the catch in hand was recognised and is in the capture. */
  #isRecognised = false;
  #closing: Closing | null = null;
  /** Several tips, or positions of a boom, in turn; null: one tip, as usual. */
  readonly #nozzle: NozzleInTurn | null;
  /** Pail and scale are on their way to another nozzle. */
  #move: MovedPail | null = null;
  /** More catches were offered, and the person has not answered. */
  #offered: number | null = null;
  /** It was done once: a strike reopens the plan, but nothing more is offered. */
  #hasFinished = false;
  /** A pour may have closed while its strike was on the way. */
  #lastClosed: Pick<DetectedCatch, 'start_s' | 'stop_s'> | null = null;
  #commands: SweepCommand[] = [];

  constructor(options: LiveSweepOptions) {
    const { setup, header } = options;
    this.#setup = setup;
    this.#header = header;
    this.#order = options.order;
    this.#notebook = new SweepNotebook(header);
    // As the analysis of the saved capture will listen: by its header.
    const facts = rigFacts(header);
    this.#water = new HeardWater(header);
    const { isMetered, step_kg, averagedReadings } = this.#water;
    this.#turned = !isMetered && facts?.standsOnScale === 'sprayer';
    this.#detector = createCatchDetector({
      step_kg,
      averagedReadings,
      ...(isMetered ? {} : listeningOf(facts)),
    });
    this.#pail = createLoadWatch(setup.rig, isMetered);
    const { kind, standsOnScale } = setup.rig;
    this.#asked = kind === 'held' && standsOnScale === 'pail' ? {} : { rig: { kind, standsOnScale } };
    this.#inHand = new CatchInHand(this.#water, setup.rig, setup.targetRelative);
    this.#nozzle = NozzleInTurn.of(setup);
    this.#byPressure = setup.settingsFrom === 'sensor' ? new SettingByPressure(header, setup) : null;
  }

  /** The capture's header; the kept lines follow it. */
  get headerText(): string {
    return captureHeaderText(this.#header);
  }

  /** The first prompt. */
  begin(at_s: number): SweepCommand[] {
    this.#next(at_s);
    return this.#take();
  }

  /**
   * Take up a kept sweep: `feed` gives its lines and marks to the analyser and answers with the time at which the capture
   * goes on; then the plan goes on where it stood. `reasons`: why catches were struck, oldest first.
   */
  restore(
    feed: (sink: CaptureAnalyser) => number,
    reasons: readonly { readonly start_s: number; readonly reason: string }[] = [],
  ): SweepCommand[] {
    this.#notebook.recall(reasons);
    const at_s = this.#notebook.restore(feed);
    this.#mark(at_s, { kind: 'gap', reason: 'app-restarted' });
    this.#notebook.analyse(null);
    // Nobody saw whether the pail was emptied meanwhile: all that was ever caught may still stand in it.
    this.#pail.assumeWater(this.#notebook.caught_kg);
    this.#nozzle?.isThere(this.#notebook.lastLabel);
    this.#next(at_s);
    return this.#take();
  }

  accept(raw: RawLine, events: readonly StreamEvent[]): SweepCommand[] {
    if (this.#phase !== 'done') this.#keep(this.#notebook.line(raw));
    for (const event of events) this.#onStream(event);
    return this.#take();
  }

  /** The instrument was lost, or bytes were; a running catch is void, the rest stands. */
  gap(at_s: number, because: GapReason): SweepCommand[] {
    if (this.#phase === 'done') return [];
    this.#mark(at_s, { kind: 'gap', reason: because });
    const gone = because === 'device-lost' || because === 'readings-stopped';
    if (gone) {
      this.#instrumentGone = true;
      this.#waitForInstrument();
    }
    this.#onGap(at_s, because);
    if (gone) {
      this.#endCatch(false);
      this.#announce({ kind: 'instrument-lost' }, at_s);
    }
    return this.#take();
  }

  /** Readings come again. */
  instrumentBack(at_s: number): SweepCommand[] {
    if (!this.#instrumentGone) return [];
    this.#instrumentGone = false;
    if (this.#phase === 'done') return [];
    this.#announce({ kind: 'instrument-back' }, at_s);
    this.#again(at_s);
    return this.#take();
  }

  pause(at_s: number): SweepCommand[] {
    if (this.#phase === 'done') return [];
    this.#pauseWanted = true;
    if (this.#isRunning()) this.#askShutOff('paused', at_s);
    else this.#pauseNow(at_s);
    return this.#take();
  }

  goOn(at_s: number): SweepCommand[] {
    this.#pauseWanted = false;
    if (this.#phase === 'paused') {
      if (this.#offered !== null) this.#nozzle?.addRounds(this.#offered);
      this.#offered = null;
      this.#announce({ kind: 'resumed' }, at_s);
      this.#next(at_s);
    } else if (this.#prompt.kind === 'shut-off' && this.#prompt.because === 'paused') {
      this.#announce({ kind: 'resumed' }, at_s);
      this.#keepSpraying();
    }
    return this.#take();
  }

  /** Strike a closed catch by its index in the analysis. It stays in the record; its setting is asked for again. */
  strike(index: number, reason: string, at_s: number): Outcome<SweepCommand[]> {
    const caught = this.#notebook.analysis?.catches[index];
    if (caught === undefined || caught.struck) return refused('nothing-to-strike');
    if (reason.trim() === '' && caught.flow_m3_per_s !== null) return refused('reason-needed');
    this.#keep(this.#notebook.strike(caught, reason, at_s));
    this.#announce({ kind: 'struck' }, at_s);
    this.#afterStrikes(at_s);
    return ok(this.#take());
  }

  /** Strike the catch that began at `start_s`: the one in hand, or that same one if it has closed since. */
  strikeStarted(start_s: number, reason: string, at_s: number): Outcome<SweepCommand[]> {
    this.#lookAgainAtClosed(at_s, true);
    if (!this.#isRunning() || this.#inHand.start_s !== start_s) {
      return this.#strikeClosed(start_s, reason, at_s);
    }
    this.#strikeRunning = reason;
    this.#askShutOff('struck', at_s);
    return ok(this.#take());
  }

  /** What has closed since: all of its points, where it gave several. */
  #strikeClosed(start_s: number, reason: string, at_s: number): Outcome<SweepCommand[]> {
    const isLast = this.#lastClosed !== null && Math.abs(this.#lastClosed.start_s - start_s) < SAME_START_S;
    const points = isLast ? this.#notebook.within(this.#lastClosed!) : [];
    if (points.length < 2) return this.strike(this.#notebook.startedAt(start_s), reason, at_s);
    const standing = points.flatMap((index) => {
      const point = this.#notebook.analysis?.catches[index];
      return point === undefined || point.struck ? [] : [point];
    });
    if (standing.length === 0) return refused('nothing-to-strike');
    if (reason.trim() === '') return refused('reason-needed');
    for (const point of standing) this.#keep(this.#notebook.strike(point, reason, at_s));
    this.#announce({ kind: 'struck' }, at_s);
    this.#afterStrikes(at_s);
    return ok(this.#take());
  }

  undoStrike(index: number, at_s: number): Outcome<SweepCommand[]> {
    const caught = this.#notebook.analysis?.catches[index];
    if (!caught?.struck) return refused('nothing-to-strike');
    this.#mark(at_s, { kind: 'undo-struck', start_s: caught.start_s });
    this.#afterStrikes(at_s);
    return ok(this.#take());
  }

  /** The person has had enough before the plan was done: what is there is the result. */
  end(at_s: number): SweepCommand[] {
    this.#lookAgainAtClosed(at_s, true);
    this.#endedEarly = true;
    if (this.#inHand.runs) this.#onDetector(this.#detector.end(at_s));
    this.#notebook.analyse(null);
    this.#finish(at_s);
    return this.#take();
  }

  scaleChecked(mark: CheckMark, at_s: number): SweepCommand[] {
    this.#mark(at_s, mark);
    this.#analyse();
    if (this.#phase === 'done') this.#commands.push({ kind: 'finished' });
    return this.#take();
  }

  get analysis(): Analysis | null {
    return this.#notebook.analysis;
  }

  get picture(): CurvePicture | null {
    return this.#notebook.picture;
  }

  get budgetFacts(): BudgetFacts | null {
    return this.#notebook.budgetFacts;
  }

  get prompt(): Prompt {
    return this.#prompt;
  }

  get phase(): SweepPhase {
    return this.#phase;
  }

  view(): SessionView {
    const good = this.#notebook.goodCatches();
    const wanted = this.#nozzle === null ? this.#setup.catchesPerSetting : this.#wantedOfAll();
    const routine = this.#routineView();
    return {
      phase: this.#phase,
      prompt: this.#prompt,
      nextPrompt: this.#afterThis(good),
      settingNow_Pa: this.#setting_Pa,
      ordinal: Math.min((good.get(this.#setting_Pa ?? NaN) ?? 0) + 1, wanted),
      running: this.#inHand.runs && !this.#unasked ? this.#inHand.view() : null,
      plan: this.#setup.settings_Pa.map((setting_Pa) => ({
        setting_Pa,
        wanted,
        // Of a tip that was caught once too often the rest does not stand in for another's.
        done:
          routine === null
            ? (good.get(setting_Pa) ?? 0)
            : routine.plan.reduce((sum, one) => sum + Math.min(one.done, one.wanted), 0),
      })),
      catches: this.#notebook.views(),
      picture: this.#notebook.picture,
      pictureBecause: this.#notebook.pictureBecause,
      warnings: this.#notebook.analysis?.warnings ?? [],
      pail: { level_kg: this.#pail.told_kg, room_kg: this.#pail.room_kg },
      rig: this.#notebook.rig,
      diagnosis: this.#notebook.diagnosis,
      ...(routine === null ? {} : { routine }),
    };
  }

  #routineView(): RoutineView | null {
    if (this.#nozzle === null) return null;
    const good = this.#notebook.goodByLabel();
    const plan = [...this.#nozzle.wanted].map(([label, wanted]) => ({
      label,
      wanted,
      done: good.get(label) ?? 0,
    }));
    const { kind } = this.#nozzle;
    return { kind, label: this.#nozzle.next(good), plan, several: this.#notebook.several };
  }

  #wantedOfAll(): number {
    return [...(this.#nozzle?.wanted.values() ?? [])].reduce((sum, wanted) => sum + wanted, 0);
  }

  // ---- readings and what the detector hears in them

  #onStream(event: StreamEvent): void {
    switch (event.kind) {
      case 'gap':
        this.#onGap(event.at_s, event.because);
        break;
      case 'reading': {
        const { time_s } = event.reading;
        const mass_kg = this.#water.of(event.reading);
        this.#byPressure?.reading(time_s, event.reading.supplyFraction);
        this.#onDetector(this.#detector.push(time_s, mass_kg));
        this.#lookAgainAtClosed(time_s);
        if (mass_kg !== null) this.#onMass(time_s, this.#turned ? -mass_kg : mass_kg);
        if (mass_kg !== null) this.#watchMove(time_s, mass_kg);
        if (this.#phase === 'filling') this.#recognise(time_s);
        this.#lookIntoPail(time_s);
        break;
      }
      case 'unit-changed':
        this.#onDetector(this.#detector.tared(event.at_s));
        break;
      case 'line-refused':
      case 'board-says':
        break;
    }
  }

  #onGap(at_s: number, because: GapReason): void {
    this.#lookAgainAtClosed(at_s, true);
    this.#onDetector(this.#detector.gap(at_s, because));
    // A line or two lost in mid-catch are only a doubt: the detector listens on. Else it has closed the catch as void, or it
    // had none to close and only the prompt goes back.
    const listensOn = this.#detector.state === 'filling' || this.#detector.state === 'settling';
    if (listensOn) return;
    // A scale that was unplugged or switched off to be carried says no more than that.
    this.#move?.disturbed();
    this.#inHand.forget();
    if (this.#isRunning()) this.#afterVoid(at_s, because);
  }

  #onDetector(events: readonly CatchEvent[]): void {
    for (const event of events) this.#onCatchEvent(event);
    const level = this.#detector.level_kg;
    if (this.#detector.state === 'quiet' && level !== null && !this.#isRunning()) this.#pail.quiet(level);
  }

  /** The pail came back while nobody looked (readings broke off meanwhile): there is room again, and a pail to have it. */
  #lookIntoPail(at_s: number): void {
    if (this.#phase !== 'emptying' || this.#detector.state !== 'quiet' || !this.#pail.isOn) return;
    const setting_Pa = this.#nextSetting();
    if (this.#move === null && setting_Pa !== null && this.#fits(setting_Pa)) this.#next(at_s);
  }

  #onCatchEvent(event: CatchEvent): void {
    switch (event.kind) {
      case 'maybe':
        if (this.#phase === 'setting') this.#phase = 'maybe';
        break;
      case 'maybe-not':
        if (this.#phase === 'maybe') this.#phase = 'setting';
        break;
      case 'filling':
        this.#onFilling(event.at_s, event.start_s);
        break;
      case 'settling':
        if (this.#isRunning() && !this.#unasked) {
          this.#phase = 'settling';
          this.#prompt = { kind: 'hold-still', ...this.#asked };
        }
        break;
      case 'filling-again':
        if (this.#phase === 'settling') this.#fillsAgain(event.at_s);
        break;
      case 'closed':
        this.#onClosed(event.at_s, event.caught);
        break;
      case 'withdrawn':
        this.#onWithdrawn(event.at_s);
        break;
      case 'retracted':
        this.#onRetracted(event);
        break;
      case 'replaced':
        this.#pail.replaced(event.level_kg, this.#phase === 'emptying');
        if (this.#move !== null) this.#move.disturbed();
        else if (this.#phase === 'emptying') this.#next(event.at_s);
        break;
      case 'tared':
        // While the pail is being emptied a jump to zero is the pail going, not a tare.
        if (this.#phase !== 'emptying') this.#pail.tared();
        break;
      case 'lifted':
      case 'bumped':
        break;
    }
  }

  /** Water after all not: every point that was kept of it is withdrawn. */
  #onRetracted({ at_s, start_s, because }: CatchEvent & { readonly kind: 'retracted' }): void {
    const isLast = this.#lastClosed !== null && Math.abs(this.#lastClosed.start_s - start_s) < SAME_START_S;
    const points = isLast ? this.#notebook.within(this.#lastClosed!) : [];
    const starts = points.map((index) => this.#notebook.analysis!.catches[index]!.start_s);
    this.#analyse();
    for (const at of starts.length > 1 ? starts : [start_s])
      this.#commands.push({ kind: 'catch-withdrawn', start_s: at, because });
    this.#replan(at_s);
  }

  #onFilling(at_s: number, start_s: number): void {
    this.#lookAgainAtClosed(at_s, true);
    this.#unasked = this.#phase !== 'setting' && this.#phase !== 'maybe';
    this.#isRecognised = false;
    this.#inHand.begin(start_s, !this.#notebook.hasGoodCatch, this.#pail.level_kg);
    if (this.#unasked) return;
    if (this.#nozzle?.isTooSoon(start_s) === true) {
      this.#phase = 'filling';
      this.#strikeRunning = 'tip-not-changed';
      this.#askShutOff('tip-not-changed', at_s);
      return;
    }
    this.#keepSpraying();
    this.#announce({ kind: 'start-heard' }, at_s);
  }

  /**
   * With a sensor: the setting is written as soon as the pressure is steady, at the latest when the catch closes, and dated a second
   * before the start of its water (which may yet move a little). A pressure that fits no planned setting is a setting of its own.
   */
  #recognise(at_s: number, caught: DetectedCatch | null = null): void {
    if (this.#byPressure === null || this.#isRecognised || !this.#inHand.runs) return;
    const { start_s } = this.#inHand;
    const read =
      this.#byPressure.steady(start_s) ??
      (caught === null ? null : this.#byPressure.onTheWhole(caught.start_s, caught.stop_s));
    if (read === null && caught === null) return;
    this.#isRecognised = true;
    const setting_Pa =
      read === null ? this.#setting_Pa : (read.setting_Pa ?? Math.round(read.pressure_Pa / 1e3) * 1e3);
    if (setting_Pa === null) return;
    this.#mark(Math.max(0, start_s - 1), { kind: 'setting', pressure_Pa: setting_Pa });
    this.#setting_Pa = setting_Pa;
    if (read !== null && !this.#unasked) this.#announce({ kind: 'pressure-read', ...read }, at_s);
  }

  #keepSpraying(): void {
    this.#phase = 'filling';
    // What was asked for stands there, also where a sensor has read something else.
    const setting_Pa = this.#asked_Pa ?? this.#setting_Pa;
    if (setting_Pa === null) return;
    const swelling = this.#inHand.isSwelling ? { swelling: true } : {};
    this.#prompt = { kind: 'keep-spraying', setting_Pa, ...swelling, ...this.#asked };
  }

  /** Water again before it had settled: what was asked still holds. */
  #fillsAgain(at_s: number): void {
    this.#keepSpraying();
    if (this.#strikeRunning !== null)
      this.#askShutOff(this.#strikeRunning === 'tip-not-changed' ? 'tip-not-changed' : 'struck', at_s);
    else if (this.#pauseWanted) this.#askShutOff('paused', at_s);
  }

  #onWithdrawn(at_s: number): void {
    const wasAsked = !this.#unasked;
    this.#endCatch(false);
    if (!wasAsked) return;
    this.#announce({ kind: 'not-water' }, at_s);
    this.#again(at_s);
  }

  /** However a catch ends, nothing of it may cling to the next one. */
  #endCatch(leavesEvidence: boolean): void {
    this.#inHand.end(leavesEvidence);
    this.#unasked = false;
    this.#strikeRunning = null;
  }

  #onMass(time_s: number, mass_kg: number): void {
    if (this.#phase === 'settling') return;
    if (this.#inHand.runs && this.#pail.rising(mass_kg) && this.#phase === 'filling') {
      this.#askShutOff(this.#pail.fullReason, time_s);
    }
    const look = this.#inHand.reading(time_s, mass_kg);
    const isToldOfSwelling = this.#prompt.kind === 'keep-spraying' && this.#prompt.swelling === true;
    if (isToldOfSwelling && !this.#inHand.isSwelling && this.#phase === 'filling') this.#keepSpraying();
    if (look?.enough === true && this.#phase === 'filling')
      this.#askShutOff(look.because ?? 'enough', time_s);
  }

  #askShutOff(because: ShutOffReason, at_s: number): void {
    if (this.#phase === 'shut-off' || this.#phase === 'settling') return;
    this.#phase = 'shut-off';
    this.#prompt = { kind: 'shut-off', because };
    this.#announce({ kind: 'enough', because }, at_s);
  }

  // ---- after a catch

  #onClosed(at_s: number, caught: DetectedCatch): void {
    this.#recognise(at_s, caught);
    const wasUnasked = this.#unasked || !this.#inHand.runs;
    const strikeBecause = this.#strikeRunning ?? (wasUnasked ? 'unasked' : null);
    if (!wasUnasked && strikeBecause !== 'tip-not-changed') this.#nozzle?.came();
    // Water is no move, though the level is another after it.
    this.#move?.again(this.#detector.level_kg);
    this.#endCatch(strikeBecause === null);
    this.#lastClosed = { start_s: caught.start_s, stop_s: caught.stop_s };
    this.#analyse();
    this.#closing = { caught, strikeBecause, wasUnasked, closed_s: at_s, looked_s: at_s };
    this.#tellWhenSure(at_s);
  }

  /** Tells of the catch that closed as soon as the analysis has closed it too; `now`: whatever it says. */
  #tellWhenSure(at_s: number, now = false): void {
    const closing = this.#closing;
    if (closing === null) return;
    const { caught, closed_s } = closing;
    const inTime = !now && at_s < closed_s + WAIT_FOR_CLOSE_S;
    if (inTime && this.#stillRunsInAnalysis(caught)) {
      this.#notebook.analyse(caught.start_s);
      this.#closing = { ...closing, looked_s: at_s };
      return;
    }
    this.#closing = null;
    this.#tellOfClosed(at_s, caught, closing.strikeBecause, closing.wasUnasked);
    const mayGoOn = this.#isRunning() || this.#phase === 'setting' || this.#phase === 'maybe';
    if (mayGoOn) this.#again(at_s);
  }

  #stillRunsInAnalysis(caught: DetectedCatch): boolean {
    if (caught.voidBecause === 'capture-ended-while-filling') return false;
    return this.#notebook
      .within(caught)
      .some((i) => this.#notebook.analysis!.catches[i]!.voidBecause === 'capture-ended-while-filling');
  }

  #lookAgainAtClosed(at_s: number, now = false): void {
    if (this.#closing === null || (!now && at_s < this.#closing.looked_s + LOOK_AGAIN_EVERY_S)) return;
    this.#analyse();
    this.#tellWhenSure(at_s, now);
  }

  /** Says what became of it, strikes what was to be struck, and has it kept. */
  #tellOfClosed(
    at_s: number,
    caught: DetectedCatch,
    strikeBecause: string | null,
    wasUnasked: boolean,
  ): void {
    const points = this.#notebook.within(caught);
    const analysed = this.#notebook.analysis?.catches[points[0] ?? -1];
    if (analysed === undefined) {
      if (!wasUnasked)
        this.#announce({ kind: 'void', because: caught.voidBecause ?? 'no-steady-window' }, at_s);
      return;
    }
    const isShort = analysed.flow_m3_per_s !== null && !this.#notebook.isGood(analysed);
    const reason = strikeBecause ?? (isShort ? LEFT_OUT_AS_SHORT : null);
    if (reason !== null && analysed.voidBecause === null) {
      for (const index of points)
        this.#keep(this.#notebook.strike(this.#notebook.analysis!.catches[index]!, reason, at_s));
      this.#analyse();
    }
    if (strikeBecause === 'tip-not-changed') this.#announce({ kind: 'void', because: strikeBecause }, at_s);
    else if (strikeBecause !== null) {
      if (!wasUnasked) this.#announce({ kind: 'struck' }, at_s);
      // Nothing was asked for but to move the pail: who waters it meanwhile is told why that does not count.
      else if (this.#move !== null) this.#announce({ kind: 'void', because: 'pail-not-moved-yet' }, at_s);
    } else if (isShort || analysed.voidBecause !== null) {
      // A catch cut off by one's own pause is no surprise: the blame is not the wand's.
      const because = this.#pauseWanted ? 'stopped-by-person' : (analysed.voidBecause ?? 'too-short');
      this.#announce({ kind: 'void', because, ...(isShort ? { leftOut: true } : {}) }, at_s);
    } else this.#announceKept(analysed, at_s);
    for (const index of points) this.#commands.push({ kind: 'catch-closed', index });
  }

  #announceKept(kept: AnalysedCatch, at_s: number): void {
    const { setting_Pa, flow_m3_per_s, expandedUncertainty95_m3_per_s: expanded_m3_per_s, warnings } = kept;
    if (setting_Pa === null || flow_m3_per_s === null || expanded_m3_per_s === null) return;
    const label = this.#notebook.lastLabel;
    const nozzle =
      this.#nozzle === null || label === null ? {} : { nozzle: this.#nozzle.foresee(label, label) };
    this.#announce({ kind: 'kept', setting_Pa, flow_m3_per_s, expanded_m3_per_s, warnings, ...nozzle }, at_s);
  }

  #afterVoid(at_s: number, because: Because): void {
    this.#endCatch(false);
    this.#announce({ kind: 'void', because }, at_s);
    this.#again(at_s);
  }

  #again(at_s: number): void {
    if (this.#pauseWanted) this.#pauseNow(at_s);
    else this.#next(at_s);
  }

  #waitForInstrument(): void {
    this.#phase = 'waiting-for-instrument';
    this.#prompt = { kind: 'wait-for-instrument' };
  }

  #next(at_s: number): void {
    if (this.#endedEarly) return;
    if (this.#instrumentGone) {
      this.#waitForInstrument();
      return;
    }
    const setting_Pa = this.#nextSetting();
    const label = this.#nozzle?.next(this.#notebook.goodByLabel()) ?? null;
    if (setting_Pa === null) {
      if (!this.#offersMore(at_s)) this.#finish(at_s);
      return;
    }
    if (this.#nozzle?.kind === 'boom' && label !== null && this.#nozzle.mustChange(label)) {
      this.#askToMove(this.#nozzle.ask(label, at_s), at_s);
      return;
    }
    if (!this.#fits(setting_Pa)) {
      this.#askForRoom(setting_Pa, at_s);
      return;
    }
    const sameAgain = this.#setting_Pa === setting_Pa;
    // In a routine the dial stays where it is: its error is then the same for all.
    const turnAwayFirst = this.#setup.rig.control === 'turns-freely' && this.#nozzle === null;
    this.#asked_Pa = this.#setting_Pa = setting_Pa;
    this.#phase = 'setting';
    const nozzle = this.#nozzle === null || label === null ? {} : { nozzle: this.#nozzle.ask(label, at_s) };
    const asked = { ...this.#asked, ...nozzle };
    const prompt = { kind: 'set-and-spray', setting_Pa, turnAwayFirst, sameAgain, ...asked } as const;
    // What a sensor reads need not be announced, nor hit.
    if (this.#byPressure === null) this.#mark(at_s, { kind: 'setting', pressure_Pa: setting_Pa });
    if (label !== null) this.#mark(at_s, { kind: 'tip', label });
    this.#prompt = this.#byPressure === null ? prompt : { ...prompt, about: true };
    this.#announce(this.#prompt, at_s);
  }

  /** The setting of the next catch wanted; null when all are there. */
  #nextSetting(): number | null {
    if (this.#nozzle === null) return nextSetting(this.#order, this.#notebook.goodCatches());
    return this.#nozzle.next(this.#notebook.goodByLabel()) === null ? null : this.#setup.settings_Pa[0]!;
  }

  /** Pail and scale go under another nozzle. What was heard of the move so far holds, if it is asked again for the same. */
  #askToMove(nozzle: AskedNozzle, at_s: number): void {
    const isFirst = this.#notebook.lastLabel === null;
    this.#move ??= new MovedPail(!isFirst, this.#detector.level_kg);
    this.#phase = 'emptying';
    this.#prompt = { kind: 'move-pail', nozzle, isFirst, restless: false };
    this.#announce(this.#prompt, at_s);
  }

  #watchMove(time_s: number, mass_kg: number): void {
    if (this.#move === null || this.#inHand.runs || this.#phase === 'done') return;
    const move = this.#move.reading(time_s, mass_kg);
    const canRest = this.#detector.state === 'quiet';
    if (move === 'restless' && this.#prompt.kind === 'move-pail' && this.#phase === 'emptying') {
      this.#prompt = { ...this.#prompt, restless: true };
      this.#announce(this.#prompt, time_s);
    }
    if (move !== 'at-rest' || !canRest || this.#phase !== 'emptying') return;
    this.#move = null;
    this.#pail.replaced(mass_kg, true);
    this.#nozzle?.came();
    this.#next(time_s);
  }

  /** Two tips whose catches scatter more than was planned for: whether to go on is the person's to say. */
  #offersMore(at_s: number): boolean {
    if (this.#nozzle === null || this.#hasFinished) return false;
    const done = { catches: this.#wantedOfAll(), planned: this.#nozzle.plannedCatches };
    const more = moreRounds(this.#setup, this.#notebook.several, done);
    if (more === null) return false;
    this.#offered = more;
    this.#phase = 'paused';
    this.#prompt = { kind: 'more-catches', catchesPerTip: 2 * more };
    this.#announce(this.#prompt, at_s);
    return true;
  }

  /** Empty the pail; if it is empty already, emptying it again won't help. */
  #askForRoom(setting_Pa: number, at_s: number): void {
    if (this.#pail.isEmpty) {
      this.#phase = 'paused';
      this.#prompt = { kind: 'pail-too-small', setting_Pa, ...this.#asked };
      this.#announce(this.#prompt, at_s);
      return;
    }
    if (this.#turned) {
      this.#phase = 'emptying';
      this.#prompt = { kind: 'refill-tank', fill_m3: this.#setup.rig.pailVolume_m3 };
      this.#announce(this.#prompt, at_s);
      return;
    }
    const because = this.#pail.room_kg < 1 ? 'scale-near-limit' : 'will-not-fit';
    this.#phase = 'emptying';
    this.#prompt = { kind: 'empty-pail', because };
    this.#announce({ kind: 'empty-pail', because }, at_s);
  }

  /** A whole catch fits; or the pail is empty and a shorter one does, which the limit of the scale then ends. */
  #fits(setting_Pa: number): boolean {
    if (this.#pail.level_kg === null) return true;
    const k = this.#notebook.picture?.curve.nozzleConstant_m3_per_s_per_sqrtPa ?? this.#ratedConstant();
    // Of several tips there is no one curve; at their one setting the largest flow so far is what must fit.
    const largest = this.#nozzle === null ? null : this.#notebook.largestFlow_m3_per_s;
    const expected = largest ?? (k === null ? null : k * Math.sqrt(setting_Pa));
    const flow = expected === null ? null : expected * WATER_KG_PER_M3;
    const whole_s = this.#inHand.longestEnough_s + BESIDES_S;
    return this.#pail.fits(flow, this.#pail.isEmpty ? LEAST_FITTING_S : whole_s);
  }

  #ratedConstant(): number | null {
    const { ratedFlow_m3_per_s: flow, ratedPressure_Pa: pressure } = this.#setup.tip;
    return flow === null || pressure === null ? null : flow / Math.sqrt(pressure);
  }

  #afterStrikes(at_s: number): void {
    this.#analyse();
    // A result that changes after the end is the result: it is kept anew.
    if (this.#phase === 'done' && this.#endedEarly) this.#commands.push({ kind: 'finished' });
    this.#replan(at_s);
  }

  /** The catch in hand is no catch yet: what the analysis makes of its beginning is left out. */
  #analyse(): void {
    this.#notebook.analyse(this.#inHand.runs ? this.#inHand.start_s : null);
  }

  #replan(at_s: number): void {
    const waits =
      this.#phase === 'paused' || this.#phase === 'waiting-for-instrument' || this.#phase === 'emptying';
    if (!waits && !this.#isRunning()) this.#next(at_s);
  }

  #pauseNow(at_s: number): void {
    if (this.#instrumentGone) {
      this.#waitForInstrument();
      return;
    }
    this.#phase = 'paused';
    this.#prompt = { kind: 'paused' };
    this.#announce({ kind: 'paused' }, at_s);
  }

  #finish(at_s: number): void {
    if (this.#phase === 'done') return;
    this.#phase = 'done';
    this.#hasFinished = true;
    this.#move = null;
    this.#prompt = { kind: 'done' };
    this.#endCatch(false);
    this.#announce({ kind: 'done' }, at_s);
    this.#commands.push({ kind: 'finished' });
  }

  #afterThis(good: ReadonlyMap<number, number>): Prompt | null {
    if (!this.#isRunning() || this.#setting_Pa === null) return null;
    if (this.#nozzle !== null) return this.#afterThisNozzle(this.#nozzle, this.#setting_Pa);
    const assumed = new Map(good);
    assumed.set(this.#setting_Pa, (assumed.get(this.#setting_Pa) ?? 0) + 1);
    const next = nextSetting(this.#order, assumed);
    if (next === null) return { kind: 'done' };
    const turnAwayFirst = this.#setup.rig.control === 'turns-freely';
    const sameAgain = next === this.#setting_Pa;
    return { kind: 'set-and-spray', setting_Pa: next, turnAwayFirst, sameAgain, ...this.#asked };
  }

  #afterThisNozzle(nozzle: NozzleInTurn, setting_Pa: number): Prompt | null {
    const good = this.#notebook.goodByLabel();
    const now = nozzle.next(good);
    if (now === null) return null;
    const next = nozzle.next(good.set(now, (good.get(now) ?? 0) + 1));
    if (next === null) return { kind: 'done' };
    const asked = nozzle.foresee(next, now);
    if (asked.of === 'boom' && next !== now)
      return { kind: 'move-pail', nozzle: asked, isFirst: false, restless: false };
    const same = { setting_Pa, turnAwayFirst: false, sameAgain: true } as const;
    return { kind: 'set-and-spray', ...same, nozzle: asked, ...this.#asked };
  }

  #isRunning(): boolean {
    return this.#phase === 'filling' || this.#phase === 'shut-off' || this.#phase === 'settling';
  }

  // ---- what is asked of whoever runs the sweep

  #mark(at_s: number, mark: CaptureMark): void {
    this.#keep(this.#notebook.mark(at_s, mark));
  }

  #keep(text: string): void {
    this.#commands.push({ kind: 'keep-text', text });
  }

  #announce(announcement: Announcement, at_s: number): void {
    this.#commands.push({ kind: 'announce', announcement, at_s });
  }

  #take(): SweepCommand[] {
    const commands = this.#commands;
    this.#commands = [];
    return commands;
  }
}
