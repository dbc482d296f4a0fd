// Over 300 lines: one state machine is read best in one place; what could stand alone (plan, resting, levels) does.
import { quietLevel, QUIET_S, type QuietLevel } from '../../analysis/checks/quiet-level.ts';
import { checkScale, type ScaleCheckResult } from '../../analysis/checks/scale-check.ts';
import { slowChange } from '../../analysis/checks/slow-change.ts';
import { scaleDrift } from '../../analysis/checks/scale-drift.ts';
import type { ReferenceMass, ScaleReference } from '../../analysis/checks/scale-reference.ts';
import type { Because } from '../../base/because.ts';
import { refused, type Refusal } from '../../base/outcome.ts';
import { createStepFinder } from '../../signal/catches/step-finder.ts';
import type { StreamEvent } from '../../signal/reading.ts';
import type { CheckAmount, CheckProgress, CheckPrompt, TrickleFound } from './check-view.ts';
import { checkPlan, type ScaleCheckPlan } from './scale-check-plan.ts';
import { Resting } from './resting.ts';

/** A level that moves less than this for so long has come to rest, as a share of the smallest load. */
const AT_REST_S = 2;
/** A minute to pour it, and a little for the hands. */
const TRICKLE_S = 75;
const AT_REST_SHARE = 0.01;
/** How far what is put on may be from what was asked for and still be it: a scale that is off is what the check is for. */
const IS_LOAD = [0.5, 2] as const;
/** On the way from one load to the next at least so much of the step up must show. */
const STEP_SEEN = 0.4;
/** Under so much of the smallest load the scale counts as cleared. */
const CLEARED_SHARE = 0.3;
/** The right load on, and never quiet for so long: give up. */
const PATIENCE_S = 180;
/** In the same place for so long without quiet: say what is wrong. */
const SAYS_WHY_AFTER_S = 15;

type Place =
  | { readonly kind: 'zero' }
  | { readonly kind: 'load'; readonly index: number }
  | { readonly kind: 'return' | 'trickle' };

/**
 * The hands-free check of a scale: it sees by itself when the scale is empty, when what was asked for stands on it and when it is at
 * rest, watches ten quiet seconds each time, and goes on. Zero is whatever stands there at the start, so a pail may stay on. A tare, another
 * unit or a gap in the middle drops the check: nothing is joined across it.
 */
export class ScaleCheckSession {
  readonly #plan: ScaleCheckPlan;
  #masses: readonly ReferenceMass[] = [];
  readonly #order: readonly ScaleReference[];
  readonly #resting = new Resting();
  readonly #steps = createStepFinder();
  #lastDigit_kg = 0;
  #net: boolean | null = null;
  #place: Place = { kind: 'zero' };
  #prompt: CheckPrompt;
  #said: CheckPrompt[] = [];
  /** Since when it is at rest where it should be; null while it isn't. */
  #restsSince_s: number | null = null;
  /** Since when the right thing stands on it, at rest or not. */
  #rightSince_s: number | null = null;
  #trouble: Because | null = null;
  #now_s = 0;
  #zeros: QuietLevel[] = [];
  #levels: QuietLevel[] = [];
  /** Since when it is being poured slowly. */
  #trickles_s = 0;
  #trickle: TrickleFound | null = null;
  #result: ScaleCheckResult | null = null;
  #failed: Refusal | null = null;

  constructor(plan: ScaleCheckPlan) {
    this.#plan = plan;
    const mass = (r: ScaleReference): number => (r.kind === 'mass-pieces' ? r.mass_kg : r.volume_m3);
    this.#order = [...plan.references].sort((a, b) => mass(a) - mass(b));
    this.#prompt = { kind: 'clear-scale', vessel: this.#isWater };
    this.#said = [this.#prompt];
    this.#judgePlan();
  }

  get result(): ScaleCheckResult | null {
    return this.#result;
  }

  get failed(): Refusal | null {
    return this.#failed;
  }

  get isOver(): boolean {
    return this.#result !== null || this.#failed !== null;
  }

  get prompt(): CheckPrompt {
    return this.#prompt;
  }

  /** What the display's step is taken for: its last digit, or the coarser grid its readings lie on. Null for a board. */
  get step_kg(): number | null {
    const step = Math.max(this.#lastDigit_kg, this.#steps.step_kg);
    return step > 0 ? step : null;
  }

  /** @returns what is to be said because of this event, in order. */
  accept(event: StreamEvent): readonly CheckPrompt[] {
    if (!this.isOver) this.#take(event);
    const said = this.#said;
    this.#said = [];
    return said;
  }

  view(): CheckProgress {
    const waited_s = this.#restsSince_s === null ? 0 : this.#now_s - this.#restsSince_s;
    const zero = this.#zeros[0];
    const now = this.#resting.meanOver(1);
    const poured_s = this.#prompt.kind === 'trickle' ? this.#now_s - this.#trickles_s : null;
    const left_s =
      poured_s !== null ? TRICKLE_S - poured_s : this.#restsSince_s === null ? null : QUIET_S - waited_s;
    return {
      kind: 'scale',
      prompt: this.#prompt,
      shown: zero === undefined || now === null ? null : now - zero.mean_kg,
      progress: Math.min(1, poured_s === null ? waited_s / QUIET_S : poured_s / TRICKLE_S),
      secondsLeft: left_s === null ? null : Math.max(0, Math.ceil(left_s)),
      trouble: this.#trouble,
      result:
        this.#result === null
          ? null
          : {
              kind: 'scale',
              ...this.#result,
              drift: this.#plan.before === null ? null : scaleDrift(this.#plan.before, this.#result),
              ...(this.#trickle !== null && { trickle: this.#trickle }),
            },
      failed: this.#failed,
    };
  }

  get #isWater(): boolean {
    return this.#plan.references[0]?.kind === 'water-volume';
  }

  #take(event: StreamEvent): void {
    if (event.kind === 'unit-changed' || event.kind === 'gap') {
      // A line or two lost on the way cost the ten seconds in hand; before anything was taken there is nothing to drop.
      const isSmall = event.kind === 'gap' && event.because === 'lines-lost';
      if (!isSmall && this.#zeros.length > 0) this.#fail(refused('check-disturbed'));
      else this.#startWaiting();
      return;
    }
    if (event.kind !== 'reading') return;
    const { time_s, mass_kg, net, step_kg } = event.reading;
    this.#now_s = time_s;
    if (net !== null && this.#net !== null && net !== this.#net && this.#zeros.length > 0) {
      this.#fail(refused('check-disturbed'));
      return;
    }
    this.#net = net ?? this.#net;
    if (mass_kg === null) {
      this.#startWaiting();
      return;
    }
    if (step_kg !== null && step_kg > this.#lastDigit_kg) {
      this.#lastDigit_kg = step_kg;
      this.#judgePlan();
    }
    const before = this.step_kg;
    this.#steps.push(mass_kg);
    if (this.#lastDigit_kg > 0 && this.step_kg !== before) this.#judgePlan();
    this.#resting.push(time_s, mass_kg);
    if (!this.isOver) this.#watch(time_s);
  }

  /** The step of the display is seen only now: what was typed may be too small for it. */
  #judgePlan(): void {
    const masses = checkPlan(
      { ...this.#plan, references: this.#order },
      this.#lastDigit_kg > 0 ? this.step_kg : null,
    );
    if (masses.ok) this.#masses = masses.value;
    else this.#fail(masses);
  }

  #watch(now_s: number): void {
    const moved = this.#resting.movedOver(AT_REST_S);
    const level = this.#resting.meanOver(AT_REST_S);
    const smallest = Math.min(...this.#masses.map(({ mass_kg }) => mass_kg));
    if (moved === null || level === null) return;
    const atRest = moved.shift <= AT_REST_SHARE * smallest + (this.step_kg ?? 0);
    const right = this.#isRight(level, smallest);
    if (!right) {
      this.#startWaiting();
      return;
    }
    this.#rightSince_s ??= now_s;
    if (now_s - this.#rightSince_s > PATIENCE_S) {
      this.#fail(refused('check-took-too-long'));
      return;
    }
    if (!atRest) {
      this.#restsSince_s = null;
      if (now_s - this.#rightSince_s > SAYS_WHY_AFTER_S) this.#trouble = 'wind-or-touch';
      return;
    }
    if (this.#restsSince_s === null) {
      // Rest is known after two seconds of it; what counts begins now, when hands are off for sure.
      this.#restsSince_s = now_s;
      this.#say({ kind: 'wait', for: this.#place.kind === 'load' ? 'load' : 'empty' });
    }
    if (now_s - this.#restsSince_s >= QUIET_S) this.#weigh(now_s);
  }

  /** Is what stands there now what was asked for? */
  #isRight(level_kg: number, smallest_kg: number): boolean {
    const zero = this.#zeros[0];
    if (zero === undefined) return true;
    const net = level_kg - zero.mean_kg;
    const place = this.#place;
    if (place.kind === 'trickle') return this.#now_s - this.#trickles_s >= TRICKLE_S;
    if (place.kind === 'return') return Math.abs(net) < CLEARED_SHARE * smallest_kg;
    if (place.kind !== 'load') return true;
    // Something was taken away instead: it was not empty before, and it is begun anew.
    if (net < -CLEARED_SHARE * smallest_kg) {
      if (this.#wasTared(level_kg, zero.mean_kg)) this.#fail(refused('check-disturbed'));
      else this.#beginAnew();
      return false;
    }
    const wanted = this.#masses[place.index]!.mass_kg;
    const earlier = place.index === 0 ? 0 : this.#levels[place.index - 1]!.mean_kg - zero.mean_kg;
    const stepUp = wanted - (place.index === 0 ? 0 : this.#masses[place.index - 1]!.mass_kg);
    return net > IS_LOAD[0] * wanted && net < IS_LOAD[1] * wanted && net - earlier > STEP_SEEN * stepUp;
  }

  /** A level that was not zero shows zero to the step: a key was pressed, nothing was lifted. */
  #wasTared(level_kg: number, zero_kg: number): boolean {
    const step = this.step_kg ?? 0;
    return this.#levels.length > 0 && Math.abs(level_kg) <= 1.5 * step && Math.abs(zero_kg) > 10 * step;
  }

  #weigh(now_s: number): void {
    const expected_kg = this.#masses[this.#place.kind === 'load' ? this.#place.index : 0]!.mass_kg;
    const level = quietLevel(this.#resting.time_s, this.#resting.value, now_s - QUIET_S, {
      step_kg: this.step_kg,
      averagedReadings: this.#plan.averagedReadings,
      expected_kg,
    });
    if (!level.ok) {
      this.#trouble = level.because;
      // Ten new seconds: the old ones held the gust.
      this.#restsSince_s = now_s;
      return;
    }
    this.#trouble = null;
    this.#next(level.value);
  }

  #next(level: QuietLevel): void {
    const place = this.#place;
    this.#startWaiting();
    if (place.kind === 'load') this.#levels.push(level);
    else if (place.kind !== 'trickle') this.#zeros.push(level);
    else {
      const trickled_kg = this.#plan.trickle_kg!;
      const { shownShare, swallowed } = slowChange(this.#zeros.at(-1)!, level, trickled_kg);
      this.#trickle = { trickled_kg, shown_kg: shownShare * trickled_kg, swallowed };
    }
    const index = place.kind === 'zero' ? 0 : place.kind === 'load' ? place.index + 1 : Infinity;
    if (index < this.#masses.length) {
      this.#place = { kind: 'load', index };
      this.#say({ kind: 'put-on', amount: this.#amount(index), nth: index + 1, of: this.#masses.length });
    } else if (place.kind === 'load' && !this.#isWater) {
      this.#place = { kind: 'return' };
      this.#say({ kind: 'take-off' });
    } else if (place.kind === 'return' && this.#plan.trickle_kg != null) {
      this.#place = { kind: 'trickle' };
      this.#trickles_s = this.#now_s;
      this.#say({ kind: 'trickle', mass_kg: this.#plan.trickle_kg });
    } else this.#finish();
  }

  #finish(): void {
    const found = checkScale({
      from: this.#isWater ? 'water-volume' : 'mass-pieces',
      zeros: this.#zeros,
      loads: this.#levels.map((level, i) => ({ reference: this.#masses[i]!, level })),
      step_kg: this.step_kg,
    });
    if (!found.ok) {
      this.#fail(found);
      return;
    }
    const { value } = found;
    this.#result =
      this.#trickle?.swallowed === true
        ? { ...value, warnings: [...value.warnings, 'scale-swallows-slow-change'] }
        : value;
    const leaves = this.#trickle !== null ? 'water-in-pail' : this.#isWater ? 'jug' : null;
    this.#say({ kind: 'check-done', ...(leaves !== null && { leaves }) });
  }

  #beginAnew(): void {
    this.#zeros = [];
    this.#levels = [];
    this.#place = { kind: 'zero' };
    this.#resting.clear();
    this.#say({ kind: 'clear-scale', vessel: this.#isWater });
  }

  #startWaiting(): void {
    this.#restsSince_s = null;
    this.#rightSince_s = null;
    this.#trouble = null;
  }

  #amount(index: number): CheckAmount {
    const reference = this.#order[index]!;
    const { mass_kg } = this.#masses[index]!;
    return reference.kind === 'mass-pieces'
      ? { kind: 'mass', mass_kg }
      : { kind: 'volume', volume_m3: reference.volume_m3, mass_kg };
  }

  #fail(because: Refusal): void {
    this.#failed ??= because;
    this.#say({ kind: 'check-failed', because: because.because });
  }

  #say(prompt: CheckPrompt): void {
    this.#prompt = prompt;
    this.#said.push(prompt);
  }
}
