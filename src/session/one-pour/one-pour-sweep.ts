// Over 300 lines: one state machine is read best in one place; what could stand alone (plan, plateau, turn, readings) does.
import type { CaptureAnalyser } from '../../analysis/sweep/capture-analyser.ts';
import type { BudgetFacts } from '../../analysis/budget/capture-budgets.ts';
import type { AnalysedCatch, Analysis, CurvePicture } from '../../analysis/sweep/analysis.ts';
import type { PooledNoise } from '../../analysis/flow/running-flow.ts';
import { pressureColumn } from '../../analysis/sweep/pressure-column.ts';
import type { Because, GapReason } from '../../base/because.ts';
import { ok, refused, type Outcome } from '../../base/outcome.ts';
import { LEFT_OUT_AS_SHORT } from '../../base/shortest-catch.ts';
import { createCatchDetector } from '../../signal/catches/catch-detector.ts';
import type { CatchEvent, CatchListener, DetectedCatch } from '../../signal/catches/catch-event.ts';
import type { CaptureHeader } from '../../signal/captures/header.ts';
import type { CaptureMark } from '../../signal/captures/mark.ts';
import { captureHeaderText } from '../../signal/captures/write.ts';
import type { RawLine } from '../../signal/lines/line-splitter.ts';
import type { Reading, StreamEvent } from '../../signal/reading.ts';
import { nextSetting } from '../plan.ts';
import { HeardWater } from '../heard-water.ts';
import { createLoadWatch, type LoadWatch } from '../load-watch.ts';
import type { Announcement, AskedToTurn, Prompt, ShutOffReason } from '../prompt.ts';
import type { SessionView, SweepPhase } from '../session-view.ts';
import type { SweepCommand } from '../sweep-command.ts';
import { SweepNotebook } from '../sweep-notebook.ts';
import type { SweepSetup } from '../sweep-setup.ts';
import type { CheckMark, Sweep } from '../sweep.ts';
import { PlateauInHand } from './plateau-in-hand.ts';
import { LONGEST_PLATEAU_S, nextPour, settingsThatFit } from './pour-plan.ts';
import { PourReadings } from './pour-readings.ts';
import { hasLeftTheLine, newStretch } from './turn-watch.ts';

const WATER_KG_PER_M3 = 998;
/** The segmentation is asked so often whether the flow is steady again. */
const LOOK_FOR_TURN_EVERY_S = 0.5;
/** Nothing has changed for so long: ask again; and after so many times, shut off. */
const ASK_AGAIN_AFTER_S = 10;
const ASKED_AT_MOST = 3;
/** While a new stretch is younger than this its beginning may still move: the turn was slower than it looked. */
const MAY_MOVE_S = 8;
const MOVED_BY_S = 1;
/** Readings from this long before the start are the pour's. */
const BEFORE_S = 12;
const SAME_START_S = 2.5;
/** Room for one setting of the least length with its turn, or there is no sense in asking for it. */
const ONE_MORE_S = 20;

export interface OnePourSweepOptions {
  readonly setup: SweepSetup;
  readonly header: CaptureHeader;
  /** One entry a setting and pour, from `makeOrder`. */
  readonly order: readonly number[];
}

/** The pour that is being asked for or runs. */
interface PourInHand {
  readonly settings_Pa: readonly number[];
  /** Place of the setting that runs, or is to be turned to. */
  readonly place: number;
}

/** A turn that was asked for. */
interface Turn {
  readonly asked_s: number;
  readonly lastAsked_s: number;
  readonly times: number;
}

/**
 * The hands-free sweep in which the control is turned while the water runs: fed raw lines and what they decode to, it answers with
 * commands. All times are seconds since the sweep's start, taken from the readings.
 */
export class OnePourSweep implements Sweep {
  readonly #setup: SweepSetup;
  readonly #header: CaptureHeader;
  readonly #order: readonly number[];
  readonly #notebook: SweepNotebook;
  readonly #water: HeardWater;
  readonly #detector: CatchListener;
  readonly #pail: LoadWatch;
  readonly #readings = new PourReadings();

  #phase: SweepPhase = 'ready';
  #prompt: Prompt = { kind: 'wait-for-instrument' };
  #pour: PourInHand | null = null;
  /** Start of the water that runs; null while none does. */
  #pourStart_s: number | null = null;
  #inHand: PlateauInHand | null = null;
  #turn: Turn | null = null;
  #lookedForTurn_s = -Infinity;
  /** Settings of the running pour that have had what they need. */
  #had: number[] = [];
  /** When the setting in hand was asked for. */
  #asked_s = -Infinity;
  #jet_kg: number | null = null;
  #pooled: PooledNoise | null = null;
  #pauseWanted = false;
  #instrumentGone = false;
  #endedEarly = false;
  /** Water that ran without being asked for: struck as soon as it closes. */
  #unasked = false;
  /** Settings of the running pour that are to be struck when it has closed. */
  #toStrike: { readonly start_s: number; readonly reason: string }[] = [];
  #commands: SweepCommand[] = [];

  constructor(options: OnePourSweepOptions) {
    const { setup, header } = options;
    this.#setup = setup;
    this.#header = header;
    this.#order = options.order;
    this.#notebook = new SweepNotebook(header);
    this.#water = new HeardWater(header);
    const { isMetered, step_kg, averagedReadings } = this.#water;
    this.#detector = createCatchDetector({ step_kg, averagedReadings, mayBend: () => true });
    this.#pail = createLoadWatch(setup.rig, isMetered);
  }

  get headerText(): string {
    return captureHeaderText(this.#header);
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

  begin(at_s: number): SweepCommand[] {
    this.#next(at_s);
    return this.#take();
  }

  /** As `LiveSweep.restore`: a pour that ran when the program stopped keeps what it had finished. */
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
    this.#next(at_s);
    return this.#take();
  }

  accept(raw: RawLine, events: readonly StreamEvent[]): SweepCommand[] {
    if (this.#phase !== 'done') this.#keep(this.#notebook.line(raw));
    for (const event of events) this.#onStream(event);
    return this.#take();
  }

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
      this.#endPour();
      this.#announce({ kind: 'instrument-lost' }, at_s);
    }
    return this.#take();
  }

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
      this.#announce({ kind: 'resumed' }, at_s);
      this.#next(at_s);
    } else if (this.#prompt.kind === 'shut-off' && this.#prompt.because === 'paused') {
      this.#announce({ kind: 'resumed' }, at_s);
      this.#goOnSpraying();
    }
    return this.#take();
  }

  /** Strike one setting of a pour by its index in the analysis; it stays in the record and is asked for again. */
  strike(index: number, reason: string, at_s: number): Outcome<SweepCommand[]> {
    const caught = this.#notebook.analysis?.catches[index];
    if (caught === undefined || caught.struck) return refused('nothing-to-strike');
    if (reason.trim() === '' && caught.flow_m3_per_s !== null) return refused('reason-needed');
    this.#keep(this.#notebook.strike(caught, reason, at_s));
    this.#announce({ kind: 'struck' }, at_s);
    this.#afterStrikes(at_s);
    return ok(this.#take());
  }

  /** Strike the setting that began at `start_s`: the one in hand (the pour goes on with the next), or one that has finished. */
  strikeStarted(start_s: number, reason: string, at_s: number): Outcome<SweepCommand[]> {
    const plateau = this.#inHand;
    const isInHand = plateau !== null && plateau.start_s === start_s && this.#turn === null;
    if (!isInHand) return this.strike(this.#notebook.startedAt(start_s), reason, at_s);
    this.#toStrike.push({ start_s, reason });
    this.#announce({ kind: 'struck' }, at_s);
    this.#settingIsOver('struck', at_s);
    return ok(this.#take());
  }

  undoStrike(index: number, at_s: number): Outcome<SweepCommand[]> {
    const caught = this.#notebook.analysis?.catches[index];
    if (!caught?.struck) return refused('nothing-to-strike');
    this.#mark(at_s, { kind: 'undo-struck', start_s: caught.start_s });
    this.#afterStrikes(at_s);
    return ok(this.#take());
  }

  end(at_s: number): SweepCommand[] {
    this.#endedEarly = true;
    if (this.#pourStart_s !== null) this.#onDetector(this.#detector.end(at_s));
    this.#endPour();
    this.#notebook.analyse(null);
    this.#finish(at_s);
    return this.#take();
  }

  view(): SessionView {
    const good = this.#notebook.goodCatches();
    const wanted = this.#setup.catchesPerSetting;
    const setting_Pa = this.#settingNow;
    const isTurning = this.#turn !== null;
    return {
      phase: this.#phase,
      prompt: this.#prompt,
      nextPrompt: this.#afterThis(good),
      settingNow_Pa: setting_Pa,
      ordinal: Math.min((good.get(setting_Pa ?? NaN) ?? 0) + 1, wanted),
      running: this.#inHand === null || this.#unasked || isTurning ? null : this.#inHand.view(),
      plan: this.#setup.settings_Pa.map((planned_Pa) => ({
        setting_Pa: planned_Pa,
        wanted,
        done: good.get(planned_Pa) ?? 0,
      })),
      catches: this.#notebook.views(),
      picture: this.#notebook.picture,
      pictureBecause: this.#notebook.pictureBecause,
      warnings: this.#notebook.analysis?.warnings ?? [],
      pail: { level_kg: this.#pail.level_kg, room_kg: this.#pail.room_kg },
      diagnosis: this.#notebook.diagnosis,
    };
  }

  // ---- readings and what the detector hears in them

  #onStream(event: StreamEvent): void {
    switch (event.kind) {
      case 'gap':
        this.#onGap(event.at_s, event.because);
        break;
      case 'reading':
        this.#onReading(event.reading);
        break;
      case 'unit-changed':
        this.#onDetector(this.#detector.tared(event.at_s));
        break;
      case 'line-refused':
      case 'board-says':
        break;
    }
  }

  #onReading(reading: Reading): void {
    const { time_s, supplyFraction } = reading;
    const mass_kg = this.#water.of(reading);
    const pressure_Pa =
      supplyFraction === null ? null : pressureColumn(Float64Array.of(supplyFraction), this.#header)[0]!;
    this.#readings.push(time_s, mass_kg, pressure_Pa);
    if (this.#pourStart_s === null) this.#readings.forgetBefore(time_s - BEFORE_S);
    this.#onDetector(this.#detector.push(time_s, mass_kg));
    if (mass_kg !== null) this.#onMass(time_s, mass_kg);
    if (this.#phase !== 'emptying' || this.#detector.state !== 'quiet' || !this.#pail.isOn) return;
    const [setting_Pa] = this.#wanted();
    if (setting_Pa !== undefined && this.#howManyFit([setting_Pa]) === 1) this.#next(time_s);
  }

  #onGap(at_s: number, because: GapReason): void {
    this.#onDetector(this.#detector.gap(at_s, because));
    const listensOn = this.#detector.state === 'filling' || this.#detector.state === 'settling';
    if (listensOn) return;
    this.#readings.clear();
    if (!this.#isRunning()) return;
    this.#endPour();
    this.#announce({ kind: 'void', because }, at_s);
    this.#again(at_s);
  }

  #onDetector(events: readonly CatchEvent[]): void {
    for (const event of events) this.#onCatchEvent(event);
    const level = this.#detector.level_kg;
    if (this.#detector.state === 'quiet' && level !== null && !this.#isRunning()) this.#pail.quiet(level);
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
          this.#prompt = { kind: 'hold-still' };
        }
        break;
      case 'filling-again':
        if (this.#phase !== 'settling') break;
        this.#goOnSpraying();
        if (this.#pauseWanted) this.#askShutOff('paused', event.at_s);
        break;
      case 'closed':
        this.#onClosed(event.at_s, event.caught);
        break;
      case 'withdrawn': {
        const wasAsked = !this.#unasked;
        this.#endPour();
        if (!wasAsked) break;
        this.#announce({ kind: 'not-water' }, event.at_s);
        this.#again(event.at_s);
        break;
      }
      case 'retracted':
        this.#onRetracted(event);
        break;
      case 'replaced':
        this.#pail.replaced(event.level_kg, this.#phase === 'emptying');
        if (this.#phase === 'emptying') this.#next(event.at_s);
        break;
      case 'tared':
        if (this.#phase !== 'emptying') this.#pail.tared();
        break;
      case 'lifted':
      case 'bumped':
        break;
    }
  }

  #onFilling(at_s: number, start_s: number): void {
    this.#unasked = (this.#phase !== 'setting' && this.#phase !== 'maybe') || this.#pour === null;
    this.#pourStart_s = start_s;
    this.#had = [];
    this.#jet_kg = null;
    this.#turn = null;
    this.#readings.forgetBefore(start_s - BEFORE_S);
    if (this.#unasked || this.#pour === null) return;
    this.#beginPlateau(start_s, this.#pail.level_kg);
    this.#phase = 'filling';
    this.#prompt = { kind: 'keep-spraying', setting_Pa: this.#pour.settings_Pa[0]! };
    this.#announce({ kind: 'start-heard' }, at_s);
  }

  #beginPlateau(start_s: number, base_kg: number | null): void {
    const setting_Pa = this.#settingNow;
    if (setting_Pa === null) return;
    this.#inHand = new PlateauInHand(
      { setting_Pa, start_s, base_kg, jet_kg: this.#jetAt(setting_Pa), pooled: this.#pooled },
      this.#water,
      { wand: this.#setup.rig.wand, longest_s: this.#longest_s },
      this.#setup.targetRelative,
      this.#readings,
    );
  }

  /** The jet pushes with the pressure (its momentum: flow times speed, both with the square root); the first setting showed how hard. */
  #jetAt(setting_Pa: number): number | null {
    if (this.#water.isMetered) return 0;
    const first_Pa = this.#pour?.settings_Pa[0];
    return this.#jet_kg === null || first_Pa === undefined ? null : (this.#jet_kg * setting_Pa) / first_Pa;
  }

  get #longest_s(): number {
    const { withDial, withSensor } = LONGEST_PLATEAU_S;
    return this.#setup.settingsFrom === 'sensor' ? withSensor : withDial;
  }

  #onMass(time_s: number, mass_kg: number): void {
    if (this.#pourStart_s === null || this.#phase === 'settling') return;
    if (this.#pail.rising(mass_kg) && this.#phase === 'filling') this.#askShutOff('scale-near-limit', time_s);
    if (this.#phase !== 'filling') return;
    if (this.#turn !== null) this.#lookForTurn(this.#turn, time_s);
    else this.#lookAtPlateau(time_s, mass_kg);
  }

  #lookAtPlateau(time_s: number, mass_kg: number): void {
    const plateau = this.#inHand;
    if (plateau === null) return;
    const look = plateau.reading(time_s, mass_kg);
    if (look === null) return;
    if (this.#hasMoved(plateau, time_s)) return;
    if (look.enough) this.#settingIsOver(look.because ?? 'enough', time_s);
  }

  /** The steady stretch began later than thought, for the turn was a slow one: it is taken up from there. */
  #hasMoved(plateau: PlateauInHand, now_s: number): boolean {
    const isYoung = this.#pour?.place !== 0 && now_s - plateau.start_s < MAY_MOVE_S;
    if (!isYoung || now_s - this.#lookedForTurn_s < LOOK_FOR_TURN_EVERY_S) return false;
    this.#lookedForTurn_s = now_s;
    const began_s = newStretch(this.#readings, this.#asked_s, now_s, this.#turnMeant(plateau.setting_Pa));
    if (began_s === null || began_s < plateau.start_s + MOVED_BY_S) return false;
    this.#beginPlateau(began_s, null);
    return true;
  }

  #turnMeant(to_Pa: number): { readonly from_Pa: number; readonly to_Pa: number } {
    const before_Pa = this.#pour?.settings_Pa[this.#pour.place - 1];
    return { from_Pa: before_Pa ?? to_Pa, to_Pa };
  }

  // ---- from one setting to the next

  /** The setting in hand has what it needs (or is struck): on to the next one, or shut off. */
  #settingIsOver(because: ShutOffReason, at_s: number): void {
    const pour = this.#pour;
    if (this.#inHand === null || pour === null) return;
    if (because !== 'struck') {
      this.#pooled = this.#inHand.addTo(this.#pooled);
      this.#had.push(this.#inHand.setting_Pa);
    }
    this.#jet_kg ??= this.#inHand.jet_kg;
    const next_Pa = pour.settings_Pa[pour.place + 1];
    if (next_Pa === undefined) {
      this.#askShutOff(because, at_s);
      return;
    }
    const flow = this.#inHand.flow_kg_per_s;
    const setting_Pa = this.#inHand.setting_Pa;
    const nextFlow = flow === null ? null : flow * Math.sqrt(next_Pa / setting_Pa);
    if (settingsThatFit(this.#pail.room_kg, [next_Pa], () => nextFlow, ONE_MORE_S) === 0) {
      this.#askShutOff('scale-near-limit', at_s);
      return;
    }
    this.#pour = { ...pour, place: pour.place + 1 };
    this.#mark(at_s, { kind: 'setting', pressure_Pa: next_Pa });
    this.#turn = { asked_s: at_s, lastAsked_s: at_s, times: 1 };
    this.#asked_s = at_s;
    const missed = because === 'forecast-too-long' || because === 'longest-catch';
    this.#askToTurn({ setting_Pa: next_Pa, again: false, ...(missed ? { missed } : {}) }, at_s);
  }

  #askToTurn(asked: AskedToTurn, at_s: number): void {
    this.#prompt = { kind: 'turn-while-spraying', ...asked };
    this.#announce({ kind: 'turn-while-spraying', ...asked }, at_s);
  }

  #lookForTurn(turn: Turn, now_s: number): void {
    const setting_Pa = this.#settingNow;
    if (setting_Pa === null || now_s - this.#lookedForTurn_s < LOOK_FOR_TURN_EVERY_S) return;
    this.#lookedForTurn_s = now_s;
    const began_s = newStretch(this.#readings, turn.asked_s, now_s, this.#turnMeant(setting_Pa));
    if (began_s !== null) {
      this.#turn = null;
      this.#beginPlateau(began_s, null);
      this.#prompt = { kind: 'keep-spraying', setting_Pa };
      this.#announce({ kind: 'steady-again', setting_Pa }, now_s);
      // Only now is the setting before a finished one: until the flow had changed it was still in hand.
      this.#analyse();
      return;
    }
    if (now_s - turn.lastAsked_s < ASK_AGAIN_AFTER_S) return;
    if (turn.times >= ASKED_AT_MOST) {
      this.#askShutOff('change-not-seen', now_s);
      return;
    }
    // A turn under way is not asked for again; once, so that a slow leak of pressure can't keep it waiting for ever.
    const moves = turn.times === 1 && hasLeftTheLine(this.#readings, turn.asked_s, now_s);
    this.#turn = { ...turn, lastAsked_s: now_s, times: turn.times + 1 };
    if (!moves) this.#askToTurn({ setting_Pa, again: true }, now_s);
  }

  #goOnSpraying(): void {
    this.#phase = 'filling';
    const setting_Pa = this.#settingNow;
    if (setting_Pa === null) return;
    this.#prompt =
      this.#turn === null
        ? { kind: 'keep-spraying', setting_Pa }
        : { kind: 'turn-while-spraying', setting_Pa, again: true };
  }

  #askShutOff(because: ShutOffReason, at_s: number): void {
    if (this.#phase === 'shut-off' || this.#phase === 'settling') return;
    this.#phase = 'shut-off';
    this.#prompt = { kind: 'shut-off', because };
    this.#announce({ kind: 'enough', because }, at_s);
  }

  // ---- after a pour

  #onClosed(at_s: number, caught: DetectedCatch): void {
    const wasUnasked = this.#unasked || this.#pourStart_s === null;
    const asked = this.#pour?.settings_Pa.length ?? 0;
    const toStrike = this.#toStrike;
    this.#endPour();
    this.#analyse();
    const mine = this.#within(caught);
    for (const one of mine) this.#strikeWhatMustBe(one, wasUnasked, toStrike, at_s);
    this.#analyse();
    const kept = this.#within(caught).filter(({ c }) => this.#notebook.isGood(c)).length;
    if (!wasUnasked) {
      const because = caught.voidBecause ?? mine.find(({ c }) => c.voidBecause !== null)?.c.voidBecause;
      if (kept > 0) this.#announce({ kind: 'pour-kept', kept, missing: Math.max(0, asked - kept) }, at_s);
      else if (toStrike.length === 0)
        this.#announce({ kind: 'void', because: this.#blame(because ?? 'too-short') }, at_s);
    }
    for (const { index } of mine) this.#commands.push({ kind: 'catch-closed', index });
    const mayGoOn = this.#isRunning() || this.#phase === 'setting' || this.#phase === 'maybe';
    if (mayGoOn) this.#again(at_s);
  }

  /** A pour cut off by one's own pause is no surprise: the blame is not the wand's. */
  #blame(because: Because): Because {
    return this.#pauseWanted ? 'stopped-by-person' : because;
  }

  #within({ start_s, stop_s }: DetectedCatch): { readonly c: AnalysedCatch; readonly index: number }[] {
    const catches = this.#notebook.analysis?.catches ?? [];
    return catches.flatMap((c, index) => (c.start_s < stop_s && c.stop_s > start_s ? [{ c, index }] : []));
  }

  #strikeWhatMustBe(
    { c }: { readonly c: AnalysedCatch },
    wasUnasked: boolean,
    toStrike: readonly { readonly start_s: number; readonly reason: string }[],
    at_s: number,
  ): void {
    if (c.voidBecause !== null || c.struck) return;
    const asked = toStrike.find(({ start_s }) => Math.abs(start_s - c.start_s) < SAME_START_S);
    const isShort = c.flow_m3_per_s !== null && !this.#notebook.isGood(c);
    const reason = wasUnasked ? 'unasked' : (asked?.reason ?? (isShort ? LEFT_OUT_AS_SHORT : null));
    if (reason !== null) this.#keep(this.#notebook.strike(c, reason, at_s));
  }

  /** Water after all not: every setting that was kept of that pour is withdrawn. */
  #onRetracted(event: CatchEvent & { readonly kind: 'retracted' }): void {
    const before = this.#notebook.analysis?.catches ?? [];
    this.#analyse();
    const left = this.#notebook.analysis?.catches ?? [];
    for (const { start_s } of before) {
      if (left.some((c) => Math.abs(c.start_s - start_s) < SAME_START_S)) continue;
      this.#commands.push({ kind: 'catch-withdrawn', start_s, because: event.because });
    }
    this.#replan(event.at_s);
  }

  /** However a pour ends, nothing of it may cling to the next one. */
  #endPour(): void {
    this.#pourStart_s = null;
    this.#inHand = null;
    this.#turn = null;
    this.#jet_kg = null;
    this.#unasked = false;
    this.#toStrike = [];
  }

  #again(at_s: number): void {
    if (this.#pauseWanted) this.#pauseNow(at_s);
    else this.#next(at_s);
  }

  #waitForInstrument(): void {
    this.#phase = 'waiting-for-instrument';
    this.#prompt = { kind: 'wait-for-instrument' };
  }

  /** What the next pour has to visit, whether it fits or not. */
  #wanted(): number[] {
    return nextPour(this.#order, this.#setup.settings_Pa.length, this.#notebook.goodCatches());
  }

  #next(at_s: number): void {
    if (this.#endedEarly) return;
    if (this.#instrumentGone) {
      this.#waitForInstrument();
      return;
    }
    const wanted = this.#wanted();
    if (wanted.length === 0) {
      this.#finish(at_s);
      return;
    }
    const fit = this.#howManyFit(wanted);
    if (fit === 0) {
      this.#askForRoom(wanted[0]!, at_s);
      return;
    }
    const settings_Pa = wanted.slice(0, fit);
    const setting_Pa = settings_Pa[0]!;
    this.#pour = { settings_Pa, place: 0 };
    this.#mark(at_s, { kind: 'plan-one-pour', pressures_Pa: settings_Pa });
    this.#phase = 'setting';
    const prompt = { kind: 'set-and-spray', setting_Pa, turnAwayFirst: false, sameAgain: false } as const;
    this.#prompt = prompt;
    this.#announce(prompt, at_s);
  }

  /**
   * Empty the pail; if it is empty already, emptying it again won't help. With an empty pail one setting is enough, and even a short
   * one: the limit of the scale then ends it.
   */
  #howManyFit(settings_Pa: readonly number[]): number {
    if (this.#pail.level_kg === null) return settings_Pa.length;
    const fit = settingsThatFit(this.#pail.room_kg, settings_Pa, (setting_Pa) =>
      this.#massFlowAt(setting_Pa),
    );
    if (fit > 0 || !this.#pail.isEmpty) return fit;
    return settingsThatFit(this.#pail.room_kg, settings_Pa.slice(0, 1), (p) => this.#massFlowAt(p), 12);
  }

  #massFlowAt(setting_Pa: number): number | null {
    const { ratedFlow_m3_per_s: flow, ratedPressure_Pa: pressure } = this.#setup.tip;
    const rated = flow === null || pressure === null ? null : flow / Math.sqrt(pressure);
    const k = this.#notebook.picture?.curve.nozzleConstant_m3_per_s_per_sqrtPa ?? rated;
    return k === null ? null : k * Math.sqrt(setting_Pa) * WATER_KG_PER_M3;
  }

  #askForRoom(setting_Pa: number, at_s: number): void {
    this.#pour = null;
    if (this.#pail.isEmpty) {
      this.#phase = 'paused';
      this.#prompt = { kind: 'pail-too-small', setting_Pa };
      this.#announce({ kind: 'pail-too-small', setting_Pa }, at_s);
      return;
    }
    const because = this.#pail.room_kg < 1 ? 'scale-near-limit' : 'will-not-fit';
    this.#phase = 'emptying';
    this.#prompt = { kind: 'empty-pail', because };
    this.#announce({ kind: 'empty-pail', because }, at_s);
  }

  #afterStrikes(at_s: number): void {
    this.#analyse();
    if (this.#phase === 'done' && this.#endedEarly) this.#commands.push({ kind: 'finished' });
    this.#replan(at_s);
  }

  /** What still runs is no catch yet; the settings of the pour that have finished are told. */
  #analyse(): void {
    const inHand_s = this.#inHand?.start_s ?? this.#pourStart_s;
    this.#notebook.analyse(inHand_s === null ? null : inHand_s + MOVED_BY_S);
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
    this.#prompt = { kind: 'done' };
    this.#endPour();
    this.#pour = null;
    this.#announce({ kind: 'done' }, at_s);
    this.#commands.push({ kind: 'finished' });
  }

  #toldOfThisPour(): readonly AnalysedCatch[] {
    const since_s = (this.#pourStart_s ?? Infinity) - SAME_START_S;
    return this.#notebook.analysis?.catches.filter((c) => c.start_s >= since_s) ?? [];
  }

  #afterThis(good: ReadonlyMap<number, number>): Prompt | null {
    if (!this.#isRunning() || this.#pour === null) return null;
    const { settings_Pa, place } = this.#pour;
    const next_Pa = settings_Pa[place + 1];
    const pouring = this.#phase === 'filling';
    if (next_Pa !== undefined && pouring)
      return { kind: 'turn-while-spraying', setting_Pa: next_Pa, again: false };
    // Until the water has settled the analysis does not know of the last setting: what had enough is taken as kept.
    const assumed = new Map(good);
    const told = new Set(this.#toldOfThisPour().map((c) => c.setting_Pa));
    for (const had_Pa of pouring ? [...this.#had, settings_Pa[place]!] : this.#had)
      if (!told.has(had_Pa)) assumed.set(had_Pa, (assumed.get(had_Pa) ?? 0) + 1);
    const then_Pa = nextSetting(this.#order, assumed);
    if (then_Pa === null) return { kind: 'done' };
    return { kind: 'set-and-spray', setting_Pa: then_Pa, turnAwayFirst: false, sameAgain: false };
  }

  get #settingNow(): number | null {
    return this.#pour === null ? null : (this.#pour.settings_Pa[this.#pour.place] ?? null);
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
