// Over 300 lines: one state machine is read best in one place; what could stand alone (plan, room, pail) does.
import type { AnalysedCatch, Analysis, CurvePicture } from '../analysis/sweep/analysis.ts';
import { CaptureAnalyser } from '../analysis/sweep/capture-analyser.ts';
import { RunningFlow, type RunningLook } from '../analysis/flow/running-flow.ts';
import type { Absence, Because, GapReason } from '../base/because.ts';
import { ok, refused, type Outcome } from '../base/outcome.ts';
import { createCatchDetector } from '../signal/catches/catch-detector.ts';
import type { CatchEvent, CatchListener, DetectedCatch } from '../signal/catches/catch-event.ts';
import type { CaptureHeader } from '../signal/captures/header.ts';
import type { CaptureMark } from '../signal/captures/mark.ts';
import { captureDataLine, captureHeaderText, captureMarkLine } from '../signal/captures/write.ts';
import type { RawLine } from '../signal/lines/line-splitter.ts';
import type { StreamEvent } from '../signal/reading.ts';
import { nextSetting } from './plan.ts';
import { PailWatch } from './pail-watch.ts';
import type { Announcement, Prompt, ShutOffReason } from './prompt.ts';
import { willFit } from './room-in-pail.ts';
import type { CatchView, SessionView, SweepPhase } from './session-view.ts';
import type { SweepCommand } from './sweep-command.ts';
import type { SweepSetup } from './sweep-setup.ts';

/** A first catch runs 30 s, later ones at least 15 s; none more than 60 s (measurement notes 11.1). */
const FIRST_CATCH_S = 30;
const LATER_CATCH_S = 15;
const LONGEST_CATCH_S = 60;
/** A catch shorter than this is kept in the record but does not count for the plan. */
const SHORTEST_USEFUL_S = 8;
/** Between two looks at the running flow; a person can't read faster. */
const LOOK_EVERY_S = 0.25;
/** Readings remembered before a start is heard, so that the catch begins with its first drop. */
const REMEMBERED_S = 12;
const WATER_KG_PER_M3 = 998;
/** Two starts nearer than this are one catch's: a catch lasts longer. */
const SAME_START_S = 2;

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
export class LiveSweep {
  readonly #setup: SweepSetup;
  readonly #header: CaptureHeader;
  readonly #order: readonly number[];
  readonly #analyser: CaptureAnalyser;
  readonly #detector: CatchListener;
  readonly #pail: PailWatch;

  #phase: SweepPhase = 'ready';
  #prompt: Prompt = { kind: 'wait-for-instrument' };
  #setting_Pa: number | null = null;
  #previousSetting_Pa: number | null = null;
  #analysis: Analysis | null = null;
  #picture: CurvePicture | null = null;
  #pictureBecause: Absence | null = 'no-catches';
  #running: RunningFlow | null = null;
  #look: RunningLook | null = null;
  #lastLook_s = -Infinity;
  #recent: { time_s: number; mass_kg: number }[] = [];
  #pauseWanted = false;
  /** Water that ran without being asked for (paused, emptying): struck as soon as it closes. */
  #unasked = false;
  #strikeRunning: string | null = null;
  readonly #reasons: { readonly start_s: number; readonly reason: string }[] = [];
  #commands: SweepCommand[] = [];
  #longestEnough_s = FIRST_CATCH_S;
  #pooled: { sumOfSquares: number; degreesOfFreedom: number } | null = null;

  constructor(options: LiveSweepOptions) {
    this.#setup = options.setup;
    this.#header = options.header;
    this.#order = options.order;
    this.#analyser = new CaptureAnalyser();
    this.#analyser.header(options.header);
    this.#detector = createCatchDetector({ averagedReadings: options.header.averagedReadings ?? null });
    this.#pail = new PailWatch(options.setup.rig);
  }

  /** The first prompt. */
  begin(at_s: number): SweepCommand[] {
    this.#next(at_s);
    return this.#take();
  }

  /** The capture's header; the kept lines follow it. */
  get headerText(): string {
    return captureHeaderText(this.#header);
  }

  /**
   * Take up a kept sweep: `feed` gives its lines and marks to the analyser and answers with the time at which the capture
   * goes on; then the plan goes on where it stood.
   */
  restore(feed: (sink: CaptureAnalyser) => number): SweepCommand[] {
    const at_s = feed(this.#analyser);
    this.#mark(at_s, { kind: 'gap', reason: 'app-restarted' });
    this.#analyse();
    this.#next(at_s);
    return this.#take();
  }

  accept(raw: RawLine, events: readonly StreamEvent[]): SweepCommand[] {
    if (this.#phase !== 'done') this.#keepLine(raw);
    for (const event of events) this.#onStream(event);
    return this.#take();
  }

  /** The instrument was lost, or bytes were; a running catch is void, the rest stands. */
  gap(at_s: number, because: GapReason): SweepCommand[] {
    if (this.#phase === 'done') return [];
    this.#mark(at_s, { kind: 'gap', reason: because });
    const gone = because === 'device-lost' || because === 'readings-stopped';
    if (!gone) this.#onGap(at_s, because);
    else {
      this.#phase = 'waiting-for-instrument';
      this.#prompt = { kind: 'wait-for-instrument' };
      this.#onGap(at_s, because);
      this.#stopRunning();
      this.#announce({ kind: 'instrument-lost' }, at_s);
    }
    return this.#take();
  }

  /** Readings come again. */
  instrumentBack(at_s: number): SweepCommand[] {
    if (this.#phase !== 'waiting-for-instrument') return [];
    this.#announce({ kind: 'instrument-back' }, at_s);
    if (this.#pauseWanted) this.#pauseNow(at_s);
    else this.#next(at_s);
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
    }
    return this.#take();
  }

  /** Strike a closed catch (by its index in the analysis) or, with -1, the one in hand. It stays in the record. */
  strike(index: number, reason: string, at_s: number): Outcome<SweepCommand[]> {
    if (index === -1) {
      if (!this.#isRunning()) return refused('nothing-to-strike');
      this.#strikeRunning = reason;
      this.#askShutOff('paused', at_s);
      return ok(this.#take());
    }
    const caught = this.#analysis?.catches[index];
    if (caught === undefined || caught.struck) return refused('nothing-to-strike');
    if (reason.trim() === '' && caught.flow_m3_per_s !== null) return refused('reason-needed');
    this.#strikeClosed(caught, reason, at_s);
    this.#announce({ kind: 'struck' }, at_s);
    this.#analyse();
    this.#replan(at_s);
    return ok(this.#take());
  }

  undoStrike(index: number, at_s: number): Outcome<SweepCommand[]> {
    const caught = this.#analysis?.catches[index];
    if (!caught?.struck) return refused('nothing-to-strike');
    this.#mark(at_s, { kind: 'undo-struck', start_s: caught.start_s });
    this.#analyse();
    this.#replan(at_s);
    return ok(this.#take());
  }

  /** The person has had enough before the plan was done: what is there is the result. */
  end(at_s: number): SweepCommand[] {
    if (this.#isRunning()) this.#onDetector(this.#detector.end(at_s));
    this.#analyse();
    this.#finish(at_s);
    return this.#take();
  }

  get analysis(): Analysis | null {
    return this.#analysis;
  }

  get picture(): CurvePicture | null {
    return this.#picture;
  }

  get prompt(): Prompt {
    return this.#prompt;
  }

  get phase(): SweepPhase {
    return this.#phase;
  }

  view(): SessionView {
    const good = this.#goodCatches();
    const next = this.#afterThis(good);
    return {
      phase: this.#phase,
      prompt: this.#prompt,
      nextPrompt: next,
      settingNow_Pa: this.#setting_Pa,
      ordinal: Math.min((good.get(this.#setting_Pa ?? NaN) ?? 0) + 1, this.#setup.catchesPerSetting),
      running: this.#runningView(),
      plan: this.#setup.settings_Pa.map((setting_Pa) => ({
        setting_Pa,
        wanted: this.#setup.catchesPerSetting,
        done: good.get(setting_Pa) ?? 0,
      })),
      catches: this.#catchViews(),
      picture: this.#picture,
      pictureBecause: this.#pictureBecause,
      warnings: this.#analysis?.warnings ?? [],
      pail: { level_kg: this.#pail.level_kg, room_kg: this.#pail.room_kg },
    };
  }

  // ---- readings and what the detector hears in them

  #onStream(event: StreamEvent): void {
    switch (event.kind) {
      case 'gap':
        this.#onGap(event.at_s, event.because);
        break;
      case 'reading': {
        const { time_s, mass_kg } = event.reading;
        this.#remember(time_s, mass_kg);
        this.#onDetector(this.#detector.push(time_s, mass_kg));
        this.#whileRunning(time_s, mass_kg);
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
    this.#onDetector(this.#detector.gap(at_s, because));
    // A line or two lost in mid-catch are only a doubt: the detector listens on. Else it has closed the catch as void, or it
    // had none to close and only the prompt goes back.
    const listensOn = this.#detector.state === 'filling' || this.#detector.state === 'settling';
    if (listensOn) return;
    this.#recent = [];
    if (this.#isRunning()) this.#afterVoid(at_s, because);
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
        if (this.#phase === 'settling') this.#phase = 'filling';
        break;
      case 'closed':
        this.#onClosed(event.at_s, event.caught);
        break;
      case 'withdrawn':
        this.#stopRunning();
        if (this.#unasked) this.#unasked = false;
        else {
          this.#announce({ kind: 'not-water' }, event.at_s);
          this.#again(event.at_s);
        }
        break;
      case 'retracted':
        this.#analyse();
        this.#commands.push({ kind: 'catch-withdrawn', start_s: event.start_s, because: event.because });
        this.#replan(event.at_s);
        break;
      case 'lifted':
        break;
      case 'replaced':
        this.#pail.replaced(event.level_kg);
        if (this.#phase === 'emptying') this.#next(event.at_s);
        break;
      case 'tared':
        this.#pail.tared();
        if (this.#phase === 'emptying') this.#next(event.at_s);
        break;
      case 'bumped':
        break;
    }
  }

  #onFilling(at_s: number, start_s: number): void {
    this.#unasked = this.#phase !== 'setting' && this.#phase !== 'maybe';
    this.#lastLook_s = -Infinity;
    this.#running = new RunningFlow({
      start_s,
      averagedReadings: this.#header.averagedReadings ?? null,
      wand: this.#setup.rig.wand,
      targetRelative: this.#setup.targetRelative,
      minimum_s: this.#goodCount() === 0 ? FIRST_CATCH_S : LATER_CATCH_S,
      longest_s: LONGEST_CATCH_S,
      pooled: this.#pooled,
      // The last quiet level: the jet's push is the step from there.
      base_kg: this.#pail.level_kg,
    });
    for (const r of this.#recent) if (r.time_s >= start_s) this.#running.push(r.time_s, r.mass_kg);
    if (this.#unasked) return;
    this.#phase = 'filling';
    if (this.#setting_Pa !== null) this.#prompt = { kind: 'keep-spraying', setting_Pa: this.#setting_Pa };
    this.#announce({ kind: 'start-heard' }, at_s);
  }

  #whileRunning(time_s: number, mass_kg: number | null): void {
    if (this.#running === null || mass_kg === null) return;
    if (this.#phase === 'settling') return;
    if (time_s > this.#lastPushed_s) this.#running.push(time_s, mass_kg);
    this.#lastPushed_s = time_s;
    const full = this.#pail.rising(mass_kg);
    if (full && this.#phase === 'filling') this.#askShutOff('scale-near-limit', time_s);
    if (time_s - this.#lastLook_s < LOOK_EVERY_S) return;
    this.#lastLook_s = time_s;
    this.#look = this.#running.look(time_s);
    if (this.#phase === 'filling' && this.#look.enough) {
      this.#longestEnough_s = Math.max(LATER_CATCH_S, this.#look.elapsed_s);
      this.#askShutOff(this.#look.because ?? 'enough', time_s);
    }
  }
  #lastPushed_s = -Infinity;

  #remember(time_s: number, mass_kg: number | null): void {
    if (mass_kg === null) return;
    this.#recent.push({ time_s, mass_kg });
    if (this.#running === null)
      while (this.#recent.length > 0 && this.#recent[0]!.time_s < time_s - REMEMBERED_S) this.#recent.shift();
    else this.#recent.length = 0;
  }

  #askShutOff(because: ShutOffReason, at_s: number): void {
    if (this.#phase === 'shut-off' || this.#phase === 'settling') return;
    this.#phase = 'shut-off';
    this.#prompt = { kind: 'shut-off', because };
    this.#announce({ kind: 'enough', because }, at_s);
  }

  // ---- after a catch

  #onClosed(at_s: number, caught: DetectedCatch): void {
    const wasUnasked = this.#unasked || this.#running === null;
    this.#pool();
    this.#stopRunning();
    this.#unasked = false;
    this.#analyse();
    const index = this.#indexOf(caught);
    const analysed = this.#analysis?.catches[index];
    if (analysed !== undefined) {
      const reason = this.#strikeRunning ?? (wasUnasked ? 'unasked' : null);
      if (reason !== null && analysed.voidBecause === null) {
        this.#strikeClosed(analysed, reason, at_s);
        if (this.#strikeRunning !== null) this.#announce({ kind: 'struck' }, at_s);
        this.#analyse();
      } else if (this.#isGood(analysed)) {
        const { setting_Pa, flow_m3_per_s, expandedUncertainty95_m3_per_s: expanded } = analysed;
        if (setting_Pa !== null && flow_m3_per_s !== null && expanded !== null)
          this.#announce({ kind: 'kept', setting_Pa, flow_m3_per_s, expanded_m3_per_s: expanded }, at_s);
      } else this.#announce({ kind: 'void', because: analysed.voidBecause ?? 'too-short' }, at_s);
      this.#commands.push({ kind: 'catch-closed', index });
    } else if (!wasUnasked)
      this.#announce({ kind: 'void', because: caught.voidBecause ?? 'no-steady-window' }, at_s);
    this.#strikeRunning = null;
    if (this.#phase === 'paused' || this.#phase === 'emptying' || this.#phase === 'done') return;
    if (this.#phase === 'waiting-for-instrument') return;
    if (this.#pauseWanted) this.#pauseNow(at_s);
    else this.#next(at_s);
  }

  #afterVoid(at_s: number, because: Because): void {
    this.#stopRunning();
    this.#announce({ kind: 'void', because }, at_s);
    this.#again(at_s);
  }

  /** The evidence about the noise that this catch leaves for the next ones' enough rule. */
  #pool(): void {
    const spent = this.#running?.evidence() ?? null;
    if (spent === null || this.#strikeRunning !== null) return;
    this.#pooled = {
      sumOfSquares: (this.#pooled?.sumOfSquares ?? 0) + spent.sumOfSquares,
      degreesOfFreedom: (this.#pooled?.degreesOfFreedom ?? 0) + spent.degreesOfFreedom,
    };
  }

  #stopRunning(): void {
    this.#running = null;
    this.#look = null;
    this.#lastPushed_s = -Infinity;
  }

  #again(at_s: number): void {
    if (this.#pauseWanted) this.#pauseNow(at_s);
    else this.#next(at_s);
  }

  #next(at_s: number): void {
    const setting = nextSetting(this.#order, this.#goodCatches());
    if (setting === null) {
      this.#finish(at_s);
      return;
    }
    if (!this.#fits(setting)) {
      const because =
        this.#pail.level_kg !== null && this.#pail.room_kg < 1 ? 'scale-near-limit' : 'will-not-fit';
      this.#phase = 'emptying';
      this.#prompt = { kind: 'empty-pail', because };
      this.#announce({ kind: 'empty-pail', because }, at_s);
      return;
    }
    this.#mark(at_s, { kind: 'setting', pressure_Pa: setting });
    this.#previousSetting_Pa = this.#setting_Pa;
    this.#setting_Pa = setting;
    const turnAwayFirst = this.#setup.rig.control === 'turns-freely';
    const sameAgain = this.#previousSetting_Pa === setting;
    this.#phase = 'setting';
    this.#prompt = { kind: 'set-and-spray', setting_Pa: setting, turnAwayFirst, sameAgain };
    this.#announce({ kind: 'set-and-spray', setting_Pa: setting, turnAwayFirst, sameAgain }, at_s);
  }

  #fits(setting_Pa: number): boolean {
    if (this.#pail.level_kg === null) return true;
    const k = this.#picture?.curve.nozzleConstant_m3_per_s_per_sqrtPa ?? this.#ratedConstant();
    const flow = k === null ? null : k * Math.sqrt(setting_Pa) * WATER_KG_PER_M3;
    // Person and detector need a few seconds more than the rule.
    return willFit(this.#pail.room_kg, flow, Math.min(this.#longestEnough_s, LONGEST_CATCH_S) + 5);
  }

  #ratedConstant(): number | null {
    const { ratedFlow_m3_per_s: flow, ratedPressure_Pa: pressure } = this.#setup.tip;
    return flow === null || pressure === null ? null : flow / Math.sqrt(pressure);
  }

  #replan(at_s: number): void {
    if (this.#isRunning() || this.#phase === 'paused' || this.#phase === 'waiting-for-instrument') return;
    if (this.#phase === 'emptying') return;
    this.#next(at_s);
  }

  #pauseNow(at_s: number): void {
    this.#phase = 'paused';
    this.#prompt = { kind: 'paused' };
    this.#announce({ kind: 'paused' }, at_s);
  }

  #finish(at_s: number): void {
    if (this.#phase === 'done') return;
    this.#phase = 'done';
    this.#prompt = { kind: 'done' };
    this.#stopRunning();
    this.#announce({ kind: 'done' }, at_s);
    this.#commands.push({ kind: 'finished' });
  }

  // ---- the analysis so far

  #analyse(): void {
    const { analysis, picture, pictureBecause } = this.#analyser.finish('sweep');
    this.#analysis = analysis;
    this.#picture = picture;
    this.#pictureBecause = pictureBecause;
  }

  #indexOf(caught: DetectedCatch): number {
    const catches = this.#analysis?.catches ?? [];
    return catches.findIndex((c) => c.start_s < caught.stop_s && c.stop_s > caught.start_s);
  }

  #isGood(c: AnalysedCatch): boolean {
    return (
      !c.struck &&
      c.voidBecause === null &&
      c.flow_m3_per_s !== null &&
      c.stop_s - c.start_s >= SHORTEST_USEFUL_S
    );
  }

  #goodCatches(): Map<number, number> {
    const counts = new Map<number, number>();
    for (const c of this.#analysis?.catches ?? [])
      if (c.setting_Pa !== null && this.#isGood(c))
        counts.set(c.setting_Pa, (counts.get(c.setting_Pa) ?? 0) + 1);
    return counts;
  }

  #goodCount(): number {
    return this.#analysis?.catches.filter((c) => this.#isGood(c)).length ?? 0;
  }

  #catchViews(): CatchView[] {
    return (this.#analysis?.catches ?? []).map((c, index) => ({
      ...c,
      index,
      struckReason: c.struck ? this.#reasonOf(c.start_s) : null,
    }));
  }

  /** Edges move by milliseconds as the clock is known better, so a reason is found by nearness. */
  #reasonOf(start_s: number): string | null {
    return this.#reasons.findLast((r) => Math.abs(r.start_s - start_s) < SAME_START_S)?.reason ?? null;
  }

  #runningView(): SessionView['running'] {
    if (this.#running === null || this.#unasked) return null;
    const look = this.#look;
    const perKg = 1 / WATER_KG_PER_M3;
    return {
      elapsed_s: look?.elapsed_s ?? 0,
      flow_m3_per_s: look?.flow_kg_per_s == null ? null : look.flow_kg_per_s * perKg,
      expanded_m3_per_s: look?.halfWidth_kg_per_s == null ? null : look.halfWidth_kg_per_s * perKg,
      targetRelative: this.#setup.targetRelative,
      progress: look?.progress ?? 0,
      secondsLeft: look?.secondsLeft ?? null,
      caught_kg: (look?.flow_kg_per_s ?? 0) * (look?.elapsed_s ?? 0),
    };
  }

  #afterThis(good: ReadonlyMap<number, number>): Prompt | null {
    if (!this.#isRunning() || this.#setting_Pa === null) return null;
    const assumed = new Map(good);
    assumed.set(this.#setting_Pa, (assumed.get(this.#setting_Pa) ?? 0) + 1);
    const next = nextSetting(this.#order, assumed);
    if (next === null) return { kind: 'done' };
    const turnAwayFirst = this.#setup.rig.control === 'turns-freely';
    return { kind: 'set-and-spray', setting_Pa: next, turnAwayFirst, sameAgain: next === this.#setting_Pa };
  }

  #isRunning(): boolean {
    return this.#phase === 'filling' || this.#phase === 'shut-off' || this.#phase === 'settling';
  }

  // ---- the record

  #strikeClosed(caught: AnalysedCatch, reason: string, at_s: number): void {
    this.#reasons.push({ start_s: caught.start_s, reason });
    this.#mark(at_s, { kind: 'struck', start_s: caught.start_s });
    if (reason.trim() !== '')
      this.#mark(at_s, { kind: 'note', text: `struck at ${caught.start_s.toFixed(2)} s: ${reason}` });
  }

  #keepLine(raw: RawLine): void {
    const text = captureDataLine(raw);
    this.#commands.push({ kind: 'keep-text', text });
    // The analyser sees the arrival time as written, so that the saved capture gives the same numbers to the last digit.
    this.#analyser.line(Number(text.slice(0, text.indexOf('\t'))), raw.line);
  }

  #mark(at_s: number, mark: CaptureMark): void {
    const text = captureMarkLine(at_s, mark);
    this.#commands.push({ kind: 'keep-text', text });
    this.#analyser.mark(Number(text.slice(0, text.indexOf('\t'))), mark);
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
