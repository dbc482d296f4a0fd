import type { GapReason, VoidReason, WithdrawnReason } from '../../base/because.ts';
import type { Block } from './block-average.ts';
import type { CatchEvent, CatchListener } from './catch-event.ts';
import { classifyPour } from './classify.ts';
import { dripAfter } from './drip.ts';
import { createFrozenDisplay } from './frozen-display.ts';
import { createTareWatch } from './infer-tare.ts';
import { createKnockWatch } from './knock.ts';
import { createAwayWatch, lastBlockBeforeFall, type AwayWatch } from './lift.ts';
import { limits } from './limits.ts';
import { quantisationResonance } from './quantisation-resonance.ts';
import { createRestLevels } from './rest-levels.ts';
import {
  finished,
  findStart,
  findStop,
  lowestBefore,
  refineStart,
  RunningFill,
  steadyPart,
  trimmedLineThrough,
  type Line,
} from './running-fill.ts';
import { Watch } from './watch.ts';

export interface CatchDetectorOptions {
  /** Smallest step the display can show, kg, if known; a coarser one is found from the readings. */
  readonly step_kg?: number | null;
  /** Length of the scale's own moving average, in readings, if known. */
  readonly averagedReadings: number | null;
}

/**
 * The streaming detector: readings of any rate (2-80 a second, some lost) in, catches out. A causal Theil-Sen slope drives
 * quiet → maybe → filling → settling → closed; edges are refined afterwards. Everything is judged by the readings' own times.
 * A reading that is not finite counts as none; one that is not later than the last is left out. Never throws.
 */
export function createCatchDetector(options: CatchDetectorOptions): CatchListener {
  return new CatchDetector(options);
}

/** A gap in which nothing but a line or two went missing; whether it was short is known at the next reading. */
const maybeShort: ReadonlySet<GapReason> = new Set(['lines-lost', 'bytes-lost', 'line-error']);

class CatchDetector implements CatchListener {
  state: CatchListener['state'] = 'quiet';
  level_kg: number | null = null;

  private readonly watch: Watch;
  private readonly knocks = createKnockWatch();
  private readonly tares = createTareWatch();
  private readonly frozen = createFrozenDisplay();
  private readonly rests = createRestLevels();
  private readonly filter_s: (period_s: number) => number;
  private events: CatchEvent[] = [];

  private last_s = -Infinity;
  private nullSince_s: number | null = null;
  private lostLines: { at_s: number; because: GapReason } | null = null;
  /** No water is heard before the level has been flat for a while. */
  private mustRest = true;
  private flatSince_s: number | null = null;
  private steepSince_s: number | null = null;
  private lowSince_s: number | null = null;
  private lowBlocks = 0;
  private backSince_s: number | null = null;
  private maybeStart_s = 0;
  private crossed_s = 0;
  /** The level fell until here (a hand taken away): no base for a start before it. */
  private fellUntil_s = -Infinity;
  private fill: RunningFill | null = null;
  private away: AwayWatch | null = null;
  /** Reading of the empty platform, once the pail has been away. */
  private empty_kg: number | null = null;
  private closed: { start_s: number; before_kg: number; rise_kg: number; at_s: number } | null = null;
  private frozenWas: { flow_kg_per_s: number; since_s: number } | null = null;
  private frozenBefore = false;

  constructor(options: CatchDetectorOptions) {
    this.watch = new Watch(options.step_kg ?? 0);
    const averaged = options.averagedReadings;
    this.filter_s = (period_s) => ((averaged ?? 4) - 1) * period_s;
  }

  push(time_s: number, mass_kg: number | null): CatchEvent[] {
    this.events = [];
    if (!Number.isFinite(time_s) || time_s <= this.last_s) return this.events;
    this.lookForHole(time_s);
    if (mass_kg === null || !Number.isFinite(mass_kg)) {
      this.nullSince_s ??= time_s;
      if (time_s - this.nullSince_s >= limits.nullFor_s) this.breakOff(time_s, 'over-range');
      return this.events;
    }
    this.last_s = time_s;
    this.nullSince_s = null;
    this.lookForFreeze(time_s, mass_kg);
    const wasTare = this.tares.push(
      time_s,
      mass_kg,
      this.watch.step_kg,
      this.fill !== null && this.state === 'filling' ? this.fill.flow_kg_per_s : 0,
      this.fill?.before_kg ?? this.level_kg ?? 0,
    );
    if (wasTare === 'tared' && this.state !== 'away') {
      this.tareSeen(time_s, this.tares.before_s);
      return this.events;
    }
    const block = this.watch.push(time_s, mass_kg);
    if (block === null || (wasTare === 'pending' && this.state !== 'away')) return this.events;
    if (this.watch.slope_kg_per_s < -this.watch.threshold_kg_per_s)
      this.fellUntil_s = block.time_s - 0.3 * this.watch.window_s;
    switch (this.state) {
      case 'quiet':
        this.quiet(block);
        break;
      case 'maybe':
        this.maybe(block);
        break;
      case 'filling':
        this.filling(block);
        break;
      case 'settling':
        this.settling(block);
        break;
      case 'away':
        this.isAway(block);
    }
    return this.events;
  }

  gap(at_s: number, because: GapReason): CatchEvent[] {
    this.events = [];
    if (maybeShort.has(because)) this.lostLines ??= { at_s, because };
    else this.breakOff(at_s, because);
    return this.events;
  }

  tared(at_s: number): CatchEvent[] {
    this.events = [];
    this.tareSeen(at_s, this.last_s);
    return this.events;
  }

  end(at_s: number): CatchEvent[] {
    this.events = [];
    this.breakOff(at_s, 'capture-ended-while-filling');
    return this.events;
  }

  // ---- breaks in the readings

  private lookForHole(time_s: number): void {
    if (this.last_s === -Infinity) return;
    const hole_s = time_s - this.last_s;
    const usual_s = this.watch.readingPeriod_s;
    const lost = this.lostLines;
    this.lostLines = null;
    if (lost !== null && hole_s > Math.max(limits.shortHole_s, limits.shortHoleReadings * usual_s))
      this.breakOff(time_s, lost.because);
    else if (hole_s > Math.max(limits.hole_s, limits.holeReadings * usual_s) && this.nullSince_s === null)
      this.breakOff(time_s, 'readings-stopped');
    else if (lost !== null) this.fill?.warnings.add('gap-while-filling');
  }

  /** The readings are no longer one story: end what runs, and start anew. */
  private breakOff(at_s: number, because: VoidReason): void {
    this.endFill(at_s, because);
    this.watch.restart();
    this.tares.clear();
    this.rests.clear();
    this.empty_kg = null;
    this.closed = null;
    this.frozenBefore = false;
    this.toQuiet();
    this.level_kg = null;
    this.mustRest = true;
  }

  private endFill(at_s: number, because: VoidReason): void {
    if (this.state === 'maybe') this.events.push({ kind: 'maybe-not', at_s });
    const fill = this.fill;
    if (fill === null || (this.state !== 'filling' && this.state !== 'settling')) return;
    if (this.state === 'settling' && fill.stop_s !== null) {
      const settled_kg = this.tail(fill.stop_s, this.last_s);
      if (settled_kg !== null) {
        this.conclude(at_s, fill.stop_s, settled_kg, null);
        return;
      }
    }
    this.conclude(at_s, fill.stop_s ?? this.last_s, null, because);
  }

  /** Level after a stop, from what was seen of it; null when that is too little to mean anything. */
  private tail(stop_s: number, until_s: number): number | null {
    const from_s = stop_s + 0.1 + this.filter_s(this.watch.readingPeriod_s);
    if (until_s - from_s < 0.3) return null;
    return this.watch.history.level_kg((from_s + until_s) / 2, until_s + 1e-6);
  }

  private tareSeen(at_s: number, before_s: number): void {
    if (this.fill !== null) {
      this.fill.stop_s ??= Math.max(before_s, this.fill.start_s);
      this.endFill(at_s, 'tared-while-filling');
    } else if (this.state === 'maybe') this.events.push({ kind: 'maybe-not', at_s });
    this.events.push({ kind: 'tared', at_s });
    this.empty_kg = null;
    const wasAway = this.state === 'away';
    this.watch.restart();
    this.tares.clear();
    this.rests.clear();
    this.closed = null;
    this.level_kg = null;
    if (wasAway) {
      this.away = createAwayWatch(limits, 0);
      return;
    }
    this.toQuiet();
    this.mustRest = true;
  }

  private lookForFreeze(time_s: number, mass_kg: number): void {
    const fill = this.fill;
    const flow = fill?.flow_kg_per_s ?? this.frozenWas?.flow_kg_per_s ?? 0;
    const since_s = this.frozen.identicalSince_s;
    const held_kg = this.frozen.held_kg;
    const stood_s = this.frozen.push(time_s, mass_kg, flow, this.watch.step_kg);
    if (stood_s === null) return;
    if (fill === null) {
      // The catch before was closed on a display that stood still: what comes now is the rest of the same water.
      if (this.frozenWas?.since_s === since_s) this.frozenBefore = true;
      return;
    }
    if (!this.heldOnTheLine(fill, fill.stop_s ?? since_s, since_s, held_kg)) return;
    fill.frozenFor_s += stood_s;
    fill.warnings.add('display-froze');
    fill.stop_s = null;
    fill.ignoreStopUntil_s = time_s + this.watch.window_s + limits.stopHold_s;
    if (this.state === 'settling') this.again(time_s);
  }

  // ---- states

  private toQuiet(): void {
    this.state = 'quiet';
    this.fill = null;
    this.away = null;
    this.steepSince_s = this.lowSince_s = this.backSince_s = this.flatSince_s = null;
  }

  private quiet(block: Block): void {
    const { watch } = this;
    const { time_s: now, mass_kg } = block;
    const slope = watch.slope_kg_per_s;
    const threshold = watch.threshold_kg_per_s;
    const flat = Math.abs(slope) < threshold / 2;
    this.flatSince_s = flat ? (this.flatSince_s ?? now) : null;
    if (Math.abs(slope) < threshold * 1.5) watch.noteIdle();
    if (this.flatSince_s !== null && now - this.flatSince_s >= limits.restartQuiet_s) {
      this.mustRest = false;
      if (this.lowSince_s === null) {
        this.level_kg = watch.history.level_kg(Math.max(now - 1, watch.cleanFrom_s), now + 1e-6);
        if (this.level_kg !== null) this.rests.note(now, this.level_kg);
      }
    }
    if (this.closed !== null && this.fellBack(now, this.closed)) {
      this.events.push({
        kind: 'retracted',
        at_s: now,
        start_s: this.closed.start_s,
        because: 'pail-pushed',
      });
      this.closed = null;
    }
    if (this.isLifted(now, mass_kg)) return;
    if (this.knocks.push(watch, now) && this.steepSince_s === null)
      this.events.push({ kind: 'bumped', at_s: now });
    if (slope < threshold || this.mustRest) this.steepSince_s = null;
    else {
      this.steepSince_s ??= now;
      if (now - this.steepSince_s >= limits.armHold_s && this.stillRises(now)) this.arm(now);
    }
  }

  /** A knock has a steep side too: it comes back to the old level, or has stopped rising by now. */
  private stillRises(now: number): boolean {
    const { history } = this.watch;
    const recent = history.slope_kg_per_s(now - Math.max(0.6, 3.5 * this.watch.period_s), now + 1e-6);
    if (recent !== null && recent < this.watch.threshold_kg_per_s / 2) return false;
    const mass_kg = history.level_kg(now - 0.25, now + 1e-6);
    if (mass_kg === null || this.level_kg === null) return true;
    const over_kg = mass_kg - this.level_kg;
    const same_kg = this.watch.levelTolerance_kg(1.5, 0.0025);
    if (Math.abs(over_kg) <= same_kg) return false;
    return over_kg > 0 || now - this.fellUntil_s > 1.4;
  }

  private fellBack(
    now: number,
    closed: { start_s: number; before_kg: number; rise_kg: number; at_s: number },
  ): boolean {
    if (now - closed.at_s > limits.retractWithin_s) {
      this.closed = null;
      return false;
    }
    const level = this.watch.history.level_kg(now - limits.retractHold_s, now + 1e-6);
    const range = this.watch.range_kg(now, limits.retractHold_s);
    const tolerance = Math.max(this.watch.levelTolerance_kg(3, 0.006), 0.05 * closed.rise_kg);
    return (
      level !== null &&
      range !== null &&
      range <= tolerance &&
      Math.abs(level - closed.before_kg) <= tolerance &&
      tolerance < 0.5 * closed.rise_kg
    );
  }

  /** In quiet: has the pail been taken away (and not just a hand that leaned on it)? */
  private isLifted(now: number, mass_kg: number): boolean {
    if (this.level_kg === null || mass_kg >= this.liftedBelow_kg(this.level_kg)) {
      this.lowSince_s = null;
      if (this.level_kg !== null && mass_kg < this.level_kg - limits.lift_kg) this.followDown(now);
      return false;
    }
    this.lowSince_s ??= now;
    const lowFor_s = now - this.lowSince_s;
    const range = this.watch.range_kg(now, 0.4);
    const steady = range !== null && range <= this.watch.levelTolerance_kg(2, 0.005);
    if (lowFor_s < limits.liftHold_s || (!steady && lowFor_s < 2)) return false;
    if (this.rests.stoodAt(mass_kg, this.watch.levelTolerance_kg(3, 0.008), now, 30)) {
      this.level_kg = mass_kg;
      this.lowSince_s = null;
      return false;
    }
    this.goAway(now, mass_kg);
    return true;
  }

  /** A hand went away and the pail stays: its level is the lower one, as soon as it is steady. */
  private followDown(now: number): void {
    const range = this.watch.range_kg(now, limits.liftHold_s);
    if (range === null || range > this.watch.levelTolerance_kg(2, 0.005)) return;
    this.level_kg = this.watch.history.level_kg(now - limits.liftHold_s, now + 1e-6);
  }

  /** With the pail gone nothing is left of it: well below every level it has had, nearer to the empty platform if that is known. */
  private liftedBelow_kg(level_kg: number): number {
    const lowest_kg = Math.min(level_kg, this.rests.lowest_kg);
    const least_kg = lowest_kg - limits.lift_kg;
    return this.empty_kg === null || this.empty_kg >= least_kg
      ? least_kg
      : Math.min(least_kg, (lowest_kg + this.empty_kg) / 2);
  }

  private goAway(now: number, mass_kg: number): void {
    this.events.push({ kind: 'lifted', at_s: now });
    this.toQuiet();
    this.state = 'away';
    this.away = createAwayWatch(limits, mass_kg);
    this.level_kg = null;
    this.closed = null;
    this.rests.clear();
  }

  private isAway(block: Block): void {
    const level_kg = this.away?.push(this.watch, block.time_s, block.mass_kg) ?? null;
    if (level_kg === null) return;
    this.events.push({ kind: 'replaced', at_s: block.time_s, level_kg });
    this.empty_kg = this.away?.empty_kg ?? null;
    this.restAt(block.time_s, level_kg);
  }

  private arm(now: number): void {
    this.state = 'maybe';
    this.lowSince_s = null;
    this.crossed_s = this.steepSince_s ?? now;
    this.maybeStart_s =
      findStart(this.watch, Math.max(now - 3, this.fellUntil_s), now + 1e-6)?.start_s ?? now - 1;
    this.events.push({ kind: 'maybe', at_s: now, start_s: this.maybeStart_s });
  }

  private maybe(block: Block): void {
    const { watch } = this;
    const now = block.time_s;
    const threshold = watch.threshold_kg_per_s;
    this.lowSince_s = watch.slope_kg_per_s < threshold / 2 ? (this.lowSince_s ?? now) : null;
    if (this.lowSince_s !== null && now - this.lowSince_s >= limits.disarmHold_s) {
      this.events.push({ kind: 'maybe-not', at_s: now });
      this.toQuiet();
      return;
    }
    if (now - this.maybeStart_s < limits.confirmAfter_s) return;
    const slope = watch.history.slope_kg_per_s(now - limits.confirmSlope_s, now + 1e-6) ?? 0;
    if (slope < 0.8 * threshold) return;
    let start = findStart(
      watch,
      Math.max(this.maybeStart_s - limits.edgeSearch_s, this.fellUntil_s),
      this.maybeStart_s + limits.edgeSearch_s,
    );
    start ??= lowestBefore(watch, this.crossed_s);
    if (now - start.start_s < limits.confirmAfter_s) {
      this.maybeStart_s = start.start_s;
      return;
    }
    if (block.mass_kg - start.before_kg < Math.min(limits.confirmRise_kg, 3 * threshold)) {
      // What was taken for the base stood higher than the pail (a hand on it): its lowest level before the rise, then.
      const lowest = lowestBefore(watch, this.crossed_s);
      if (block.mass_kg - lowest.before_kg < Math.min(limits.confirmRise_kg, 3 * threshold)) return;
      start = lowest;
    }
    this.fill = new RunningFill(start.start_s, start.before_kg, slope);
    this.state = 'filling';
    this.lowSince_s = null;
    this.events.push({ kind: 'filling', at_s: now, start_s: start.start_s });
  }

  private filling(block: Block): void {
    const { watch, fill } = this;
    if (fill === null) return;
    const now = block.time_s;
    const slope = watch.slope_kg_per_s;
    if (this.liftedFromFill(now, block.mass_kg, fill)) return;
    if (slope >= (now - fill.start_s < 10 ? limits.stopBelow : limits.againAbove) * fill.flow_kg_per_s)
      fill.follow(watch, now);
    if (now - fill.start_s > 3.5 && this.knocks.push(watch, now)) this.bumped(now, fill);
    if (now < fill.ignoreStopUntil_s) return;
    // Steeper than this water can be: a push, which says neither that it runs nor that it has stopped.
    if (slope > limits.againBelow * fill.flow_kg_per_s) return;
    if (slope >= limits.stopBelow * fill.flow_kg_per_s) {
      this.lowSince_s = null;
      this.lowBlocks = 0;
      return;
    }
    if (this.lowSince_s === null) {
      this.lowSince_s = now;
      this.lowBlocks = 0;
    } else this.lowBlocks++;
    if (this.lowBlocks * watch.period_s < limits.stopHold_s - 0.4 * watch.period_s) return;
    const line = this.lineBefore(fill, this.lowSince_s);
    if (line !== null) {
      // After a knock, or between two steps of a coarse display, the slope is low but the level is where it should be.
      const short_kg = line.at_kg(now) - (watch.history.level_kg(now - 0.3, now + 1e-6) ?? block.mass_kg);
      const onLine = short_kg < Math.max(limits.stopShort_s * line.flow_kg_per_s, 1.2 * watch.step_kg);
      if (onLine && this.lowBlocks * watch.period_s < limits.stopForSure_s) return;
    }
    fill.lineBefore = line;
    const search_s = limits.edgeSearch_s + 0.5 * watch.window_s;
    fill.stop_s = findStop(watch, this.lowSince_s - search_s, now + 1e-6) ?? this.lowSince_s;
    this.state = 'settling';
    this.flatSince_s = this.steepSince_s = this.backSince_s = null;
    this.events.push({ kind: 'settling', at_s: now, stop_s: fill.stop_s });
  }

  private lineBefore(fill: RunningFill, low_s: number): Line | null {
    const to_s = low_s - 0.5 * this.watch.window_s;
    const from_s = Math.max(fill.start_s + 1, to_s - 7);
    return to_s - from_s < 2 ? null : trimmedLineThrough(this.watch, from_s, to_s);
  }

  private bumped(now: number, fill: RunningFill): void {
    fill.bumped_s = now;
    fill.warnings.add('bumped-while-filling');
    this.events.push({ kind: 'bumped', at_s: now });
  }

  /** Below the fill's own base for half a second: nobody pours that. */
  private liftedFromFill(now: number, mass_kg: number, fill: RunningFill): boolean {
    if (mass_kg >= this.liftedBelow_kg(fill.before_kg)) {
      this.backSince_s = null;
      return false;
    }
    this.backSince_s ??= now;
    if (now - this.backSince_s < limits.liftHold_s) return true;
    const { watch } = this;
    const last = lastBlockBeforeFall(watch, fill.before_kg);
    const lift_s = watch.history.times_s[last] ?? now;
    const stop_s = findStop(watch, lift_s - 2.5, lift_s + 1e-6);
    const settled_kg = stop_s === null ? null : this.tail(stop_s, lift_s);
    const after = stop_s === null ? null : watch.history.slope_kg_per_s(stop_s, lift_s + 1e-6);
    const stoppedBefore = after !== null && after < limits.stopBelow * fill.flow_kg_per_s;
    if (stop_s !== null && settled_kg !== null && stoppedBefore) {
      if (this.state === 'filling') this.events.push({ kind: 'settling', at_s: now, stop_s });
      this.conclude(now, stop_s, settled_kg, null);
    } else this.conclude(now, lift_s, null, 'lifted-while-filling');
    this.goAway(now, mass_kg);
    return true;
  }

  private settling(block: Block): void {
    const { watch, fill } = this;
    if (fill === null || this.lowSince_s === null) return;
    const now = block.time_s;
    const slope = watch.slope_kg_per_s;
    if (this.liftedFromFill(now, block.mass_kg, fill)) return;
    if (this.risesAgain(now, slope, fill)) return;
    const flat = Math.abs(slope) < Math.max(watch.flat_kg_per_s, limits.flatOfFlow * fill.flow_kg_per_s);
    this.flatSince_s = flat ? (this.flatSince_s ?? now) : null;
    const sinceStop_s = now - (fill.stop_s ?? this.lowSince_s);
    const flatFor_s = this.flatSince_s === null ? 0 : now - this.flatSince_s;
    const done = flatFor_s >= limits.flatFor_s && sinceStop_s >= limits.closeAfter_s;
    if (sinceStop_s < limits.closeAtLast_s && (!done || this.maybeFrozen(now, fill))) return;
    const stop_s = this.refinedStop(fill, now);
    const level_kg = watch.history.level_kg(now - 0.5, now + 1e-6) ?? block.mass_kg;
    const settled_kg = this.settledLevel(fill, stop_s, now) ?? level_kg;
    this.conclude(now, stop_s, settled_kg, null);
    this.restAt(now, settled_kg);
    this.level_kg = level_kg;
  }

  private restAt(now: number, level_kg: number): void {
    this.toQuiet();
    this.level_kg = level_kg;
    this.rests.note(now, level_kg);
  }

  /**
   * Level after the stop: the flat end, or the time just after the stop if a hand has come between. Which of the two is water
   * is told by what must have flowed in.
   */
  private settledLevel(fill: RunningFill, stop_s: number, until_s: number): number | null {
    const { history } = this.watch;
    const from_s = stop_s + 0.4 + this.filter_s(this.watch.readingPeriod_s);
    const late = history.level_kg(Math.max(from_s, until_s - limits.flatFor_s), until_s + 1e-6);
    const early = history.level_kg(from_s, Math.min(from_s + 0.9, until_s));
    if (late === null || early === null) return late ?? early;
    if (Math.abs(late - early) <= this.watch.levelTolerance_kg(3, 0.008)) return late;
    const expected = fill.before_kg + fill.flow_kg_per_s * (stop_s - fill.start_s);
    return Math.abs(late - expected) <= Math.abs(early - expected) ? late : early;
  }

  private refinedStop(fill: RunningFill, until_s: number): number {
    const about_s = fill.stop_s ?? this.last_s;
    const search_s = limits.edgeSearch_s;
    return findStop(this.watch, about_s - search_s, Math.min(until_s, about_s + search_s) + 1e-6) ?? about_s;
  }

  /** Water again: the same catch within two seconds, else a new one. True when the state has changed. */
  private risesAgain(now: number, slope: number, fill: RunningFill): boolean {
    if (this.lowSince_s === null) return false;
    if (slope < this.watch.threshold_kg_per_s) {
      this.steepSince_s = null;
      return false;
    }
    this.steepSince_s ??= now;
    if (now - this.steepSince_s < limits.riseHold_s) return false;
    // A knock or a hand rises too, but not for so long and not at the water's own pace.
    const risen_s = now - this.steepSince_s;
    if (risen_s < limits.againHold_s) return false;
    const late = risen_s >= 2 * limits.againHold_s;
    const span_s = late ? 2.5 : Math.max(limits.againSlope_s, 0.8 * this.watch.window_s);
    const recent = this.watch.history.slope_kg_per_s(now - span_s, now + 1e-6) ?? 0;
    const asBefore = recent / fill.flow_kg_per_s;
    const sameFlow = asBefore >= limits.againAbove && asBefore <= limits.againBelow;
    const seen_s = this.steepSince_s - this.lowSince_s;
    const off_s = this.wasOffFor_s(now, fill, seen_s);
    const within_s = limits.againWithin_s;
    if (seen_s <= within_s + 1.2 * this.watch.window_s && off_s < 1.6 * within_s) {
      const unsure = off_s > 0.6 * within_s || off_s < -0.5 * within_s || !sameFlow;
      if (!late && unsure) return false;
      if (off_s <= within_s && off_s >= -within_s && asBefore >= 0.4 && asBefore <= 2.2) {
        this.again(now);
        return true;
      }
    }
    if (recent < this.watch.threshold_kg_per_s) return false;
    const steep_s = this.steepSince_s;
    const stop_s = this.refinedStop(fill, steep_s - 0.3);
    const settled_kg =
      this.settledLevel(fill, stop_s, steep_s - 0.4) ??
      this.watch.history.level_kg(stop_s + 0.3, steep_s) ??
      fill.before_kg;
    this.conclude(now, stop_s, settled_kg, null);
    this.restAt(now, settled_kg);
    this.steepSince_s = steep_s;
    return true;
  }

  /**
   * For how long the water was really off, s: what is missing against the line before, whatever the slope's window made of the
   * edges. Without a line (a fill that had just begun) by the chord from before to now. `seen_s` if neither can be had.
   */
  private wasOffFor_s(now: number, fill: RunningFill, seen_s: number): number {
    const { history } = this.watch;
    const level_kg = history.level_kg(now - 0.3, now + 1e-6);
    if (level_kg === null || this.lowSince_s === null) return seen_s;
    const from_s = Math.max(fill.start_s + 0.6, this.lowSince_s - 7);
    const to_s = this.lowSince_s - 0.5 * this.watch.window_s;
    const before_kg = history.level_kg(from_s, to_s);
    const flow = history.slope_kg_per_s((this.steepSince_s ?? now) - 0.3, now + 1e-6) ?? 0;
    const byChord =
      before_kg === null || flow <= 0
        ? null
        : now - 0.15 - (from_s + to_s) / 2 - (level_kg - before_kg) / flow;
    if (fill.lineBefore === null) return byChord ?? seen_s;
    const byLine = (fill.lineBefore.at_kg(now - 0.15) - level_kg) / fill.lineBefore.flow_kg_per_s;
    return byChord === null ? byLine : (byLine + byChord) / 2;
  }

  private again(now: number): void {
    this.state = 'filling';
    if (this.fill !== null) this.fill.stop_s = null;
    this.lowSince_s = this.steepSince_s = this.backSince_s = null;
    this.events.push({ kind: 'filling-again', at_s: now });
  }

  /** No flicker and no fall of the jet's push since the last rising reading: perhaps only the display stands still. */
  private maybeFrozen(now: number, fill: RunningFill): boolean {
    const since_s = this.frozen.identicalSince_s;
    const stop_s = fill.stop_s ?? since_s;
    if (now - stop_s > limits.frozenWait_s || since_s > stop_s + 0.25) return false;
    if (this.frozen.identicalFor_s < limits.frozen_s) return false;
    return this.heldOnTheLine(fill, stop_s, since_s, this.frozen.held_kg);
  }

  private heldOnTheLine(fill: RunningFill, stop_s: number, since_s: number, held_kg: number): boolean {
    if (Math.abs(since_s - stop_s) > 0.3 + this.watch.period_s) return false;
    const line = steadyPart(this.watch, Math.max(fill.start_s, since_s - 6), since_s, 6);
    if (line === null) return false;
    const off_kg = Math.abs(held_kg - line.at_kg(since_s));
    return off_kg <= Math.max(1.5 * this.watch.step_kg, 3 * line.residualSd_kg);
  }

  // ---- the end of a pour

  private conclude(
    at_s: number,
    stop_s: number,
    settled_kg: number | null,
    voidBecause: VoidReason | null,
  ): void {
    const { fill, watch } = this;
    if (fill === null) return;
    if (voidBecause !== null) {
      this.closeAs(at_s, fill, stop_s, settled_kg, voidBecause);
      return;
    }
    const again = refineStart(watch, fill, stop_s);
    if (again !== null) fill.start_s = again;
    const opening = steadyPart(watch, fill.start_s, stop_s, 8);
    // Water only adds: a base above the line's own beginning was a hand on the pail.
    if (opening !== null)
      fill.before_kg = Math.min(
        fill.before_kg,
        opening.at_kg(fill.start_s) + watch.levelTolerance_kg(2, 0.005),
      );
    const rise_kg = (settled_kg ?? fill.before_kg) - fill.before_kg;
    const steady = steadyPart(watch, fill.start_s, stop_s, 120);
    const flow_kg_per_s = steady?.flow_kg_per_s ?? fill.flow_kg_per_s;
    const verdict = classifyPour({
      lasted_s: stop_s - fill.start_s,
      flow_kg_per_s,
      residualSd_kg: steady?.residualSd_kg ?? 0,
      rise_kg,
      endsOnSeenLevel: this.rests.seenAbove(
        settled_kg ?? NaN,
        fill.before_kg,
        watch.levelTolerance_kg(2, 0.003),
      ),
      frozenFor_s: fill.frozenFor_s,
    });
    if (!verdict.water) {
      this.withdraw(at_s, fill, verdict.because);
      return;
    }
    fill.flow_kg_per_s = flow_kg_per_s;
    if (steady !== null) this.checkResonance(fill, steady.residualSd_kg);
    this.closeAs(at_s, fill, stop_s, settled_kg, this.frozenBefore ? 'display-frozen' : verdict.voidBecause);
    this.closed = { start_s: fill.start_s, before_kg: fill.before_kg, rise_kg, at_s };
  }

  private withdraw(at_s: number, fill: RunningFill, because: WithdrawnReason): void {
    this.events.push({ kind: 'withdrawn', at_s, start_s: fill.start_s, because });
    this.fill = null;
  }

  private closeAs(
    at_s: number,
    fill: RunningFill,
    stop_s: number,
    settled_kg: number | null,
    voidBecause: VoidReason | null,
  ): void {
    const { times_s, masses_kg } = this.watch.history;
    const from = this.watch.history.indexAt(stop_s);
    const after = times_s.slice(from).map((time_s, i) => ({ time_s, mass_kg: masses_kg[from + i] ?? null }));
    const drip = settled_kg === null ? null : dripAfter(after, stop_s, at_s);
    const caught = finished(this.watch, fill, stop_s, settled_kg, drip, voidBecause);
    this.events.push({ kind: 'closed', at_s, caught });
    this.frozenBefore = false;
    const since_s = this.frozen.identicalSince_s;
    this.frozenWas = this.heldOnTheLine(fill, stop_s, since_s, this.frozen.held_kg)
      ? { flow_kg_per_s: fill.flow_kg_per_s, since_s }
      : null;
    this.fill = null;
  }

  private checkResonance(fill: RunningFill, residualSd_kg: number): void {
    const { step_kg, readingPeriod_s, period_s } = this.watch;
    // Blocks average readings: a reading's own noise is larger. The display's rounding is taken off.
    const single = residualSd_kg * Math.sqrt(Math.max(1, Math.round(period_s / readingPeriod_s)));
    const noise_kg = Math.sqrt(Math.max(0, single ** 2 - step_kg ** 2 / 12));
    if (quantisationResonance(fill.flow_kg_per_s, readingPeriod_s, step_kg, noise_kg))
      fill.warnings.add('quantisation-resonance');
  }
}
