import type { GapReason, VoidReason } from '../../base/because.ts';
import type { CatchEvent, CatchListener } from './catch-event.ts';
import { conclude } from './conclude.ts';
import { createAwayWatch, lastBlockBeforeFall } from './lift.ts';
import { limits } from './limits.ts';
import { heldOnTheLine, Listening, restAt, tail, toQuiet } from './listening.ts';
import { again } from './rises-again.ts';
import type { RunningFill } from './running-fill.ts';
import { stoppedBefore } from './stopped-before.ts';
import type { HandledListener } from './turned-detector.ts';
import { whenFilling } from './when-filling.ts';
import { whenMaybe } from './when-maybe.ts';
import { whenAway, whenQuiet } from './when-quiet.ts';
import { whenSettling } from './when-settling.ts';

export interface CatchDetectorOptions {
  /** Smallest step the display can show, kg, if known; a coarser one is found from the readings. */
  readonly step_kg?: number | null;
  /** Length of the scale's own moving average, in readings, if known. */
  readonly averagedReadings: number | null;
  /** Water that began then may change its flow while it runs (a pour through several settings): a bend is not held against it. */
  readonly mayBend?: (start_s: number) => boolean;
  /** What stands around it for a rig that can't be heard as it is (a sprayer on the scale, strokes of a pump). */
  readonly around?: (usual: HandledListener) => CatchListener;
}

/**
 * The streaming detector: readings of any rate (2-80 a second, some lost) in, catches out. A causal Theil-Sen slope drives
 * quiet → maybe → filling → settling → closed; edges are refined afterwards. Everything is judged by the readings' own times.
 * A reading that is not finite counts as none; one that is not later than the last is left out. Never throws.
 */
export function createCatchDetector(options: CatchDetectorOptions): CatchListener {
  const usual = new CatchDetector(options);
  return options.around?.(usual) ?? usual;
}

/** A gap in which nothing but a line or two went missing; whether it was short is known at the next reading. */
const maybeShort: ReadonlySet<GapReason> = new Set(['lines-lost', 'bytes-lost', 'line-error']);

class CatchDetector implements HandledListener {
  private readonly s: Listening;

  constructor(options: CatchDetectorOptions) {
    this.s = new Listening(options.step_kg ?? null, options.averagedReadings, options.mayBend);
  }

  get state(): CatchListener['state'] {
    return this.s.state;
  }

  get level_kg(): number | null {
    return this.s.level_kg;
  }

  push(time_s: number, mass_kg: number | null): CatchEvent[] {
    this.s.events = [];
    if (!Number.isFinite(time_s) || time_s <= this.s.last_s) return this.s.events;
    this.lookForHole(time_s);
    if (mass_kg === null || !Number.isFinite(mass_kg)) {
      this.s.nullSince_s ??= time_s;
      if (time_s - this.s.nullSince_s >= limits.nullFor_s) this.breakOff(time_s, 'over-range');
      return this.s.events;
    }
    this.s.last_s = time_s;
    this.s.nullSince_s = null;
    this.lookForFreeze(time_s, mass_kg);
    const wasTare = this.s.tares.push(
      time_s,
      mass_kg,
      this.s.watch.step_kg,
      this.s.fill !== null && this.s.state === 'filling' ? this.s.fill.flow_kg_per_s : 0,
      this.s.fill?.before_kg ?? this.s.level_kg ?? 0,
    );
    if (wasTare === 'tared' && this.s.state !== 'away') {
      this.tareSeen(time_s, this.s.tares.before_s);
      return this.s.events;
    }
    const block = this.s.watch.push(time_s, mass_kg);
    if (block === null || (wasTare === 'pending' && this.s.state !== 'away')) return this.s.events;
    if (this.s.watch.slope_kg_per_s < -this.s.watch.threshold_kg_per_s)
      this.s.fellUntil_s = block.time_s - 0.3 * this.s.watch.window_s;
    switch (this.state) {
      case 'quiet':
        whenQuiet(this.s, block);
        break;
      case 'maybe':
        whenMaybe(this.s, block);
        break;
      case 'filling':
        whenFilling(this.s, block);
        break;
      case 'settling':
        whenSettling(this.s, block);
        break;
      case 'away':
        whenAway(this.s, block);
    }
    return this.s.events;
  }

  gap(at_s: number, because: GapReason): CatchEvent[] {
    this.s.events = [];
    if (maybeShort.has(because)) this.s.lostLines ??= { at_s, because };
    else this.breakOff(at_s, because);
    return this.s.events;
  }

  tared(at_s: number): CatchEvent[] {
    this.s.events = [];
    this.tareSeen(at_s, this.s.last_s);
    return this.s.events;
  }

  handled(at_s: number, before_s: number): CatchEvent[] {
    this.s.events = [];
    if (this.s.fill !== null) this.endAt(at_s, this.s.fill, before_s, 'lifted-while-filling');
    else if (this.state === 'maybe') this.s.events.push({ kind: 'maybe-not', at_s });
    this.s.events.push({ kind: 'lifted', at_s });
    this.startAnew();
    toQuiet(this.s);
    this.s.mustRest = true;
    return this.s.events;
  }

  standsAgain(at_s: number, level_kg: number): void {
    restAt(this.s, at_s, level_kg);
    this.s.mustRest = this.s.neverRested = false;
  }

  end(at_s: number): CatchEvent[] {
    this.s.events = [];
    this.breakOff(at_s, 'capture-ended-while-filling');
    return this.s.events;
  }

  // ---- breaks in the readings

  private lookForHole(time_s: number): void {
    if (this.s.last_s === -Infinity) return;
    const hole_s = time_s - this.s.last_s;
    const usual_s = this.s.watch.readingPeriod_s;
    const lost = this.s.lostLines;
    this.s.lostLines = null;
    if (lost !== null && hole_s > Math.max(limits.shortHole_s, limits.shortHoleReadings * usual_s))
      this.breakOff(time_s, lost.because);
    else if (hole_s > Math.max(limits.hole_s, limits.holeReadings * usual_s) && this.s.nullSince_s === null)
      this.breakOff(time_s, 'readings-stopped');
    else if (lost !== null) this.s.fill?.warnings.add('gap-while-filling');
  }

  /** Time of the last reading that was still the pail's: a jump to zero or a fall that is not judged yet comes after it. */
  private get standing_s(): number {
    if (this.s.tares.pending) return this.s.tares.before_s;
    const { fill, watch } = this.s;
    if (fill === null || this.s.backSince_s === null) return this.s.last_s;
    return watch.history.times_s[lastBlockBeforeFall(watch, fill.before_kg)] ?? this.s.last_s;
  }

  /** The readings are no longer one story: end what runs, and start anew. */
  private breakOff(at_s: number, because: VoidReason): void {
    this.endFill(at_s, because, this.standing_s);
    this.s.watch.restart();
    this.s.tares.clear();
    this.s.rests.clear();
    this.s.empty_kg = null;
    this.s.closed = null;
    this.s.frozenBefore = false;
    toQuiet(this.s);
    this.s.level_kg = null;
    this.s.mustRest = true;
  }

  /** The readings after `until_s` belong to another story, though some of them may have been seen already. */
  private endFill(at_s: number, because: VoidReason, until_s: number): void {
    if (this.state === 'maybe') this.s.events.push({ kind: 'maybe-not', at_s });
    const fill = this.s.fill;
    if (fill === null || (this.state !== 'filling' && this.s.state !== 'settling')) return;
    if (this.state === 'settling' && fill.stop_s !== null) {
      const settled_kg = tail(this.s, fill.stop_s, until_s);
      if (settled_kg !== null) {
        conclude(this.s, at_s, fill.stop_s, settled_kg, null, until_s);
        return;
      }
    }
    conclude(this.s, at_s, fill.stop_s ?? until_s, null, because, until_s);
  }

  private endAt(at_s: number, fill: RunningFill, before_s: number, because: VoidReason): void {
    const seen = stoppedBefore(this.s, fill, before_s);
    if (seen !== null) {
      if (this.s.state === 'filling') this.s.events.push({ kind: 'settling', at_s, stop_s: seen.stop_s });
      conclude(this.s, at_s, seen.stop_s, seen.settled_kg, null, before_s);
      return;
    }
    fill.stop_s ??= Math.max(before_s, fill.start_s);
    conclude(this.s, at_s, fill.stop_s, null, because, before_s);
  }

  private tareSeen(at_s: number, before_s: number): void {
    if (this.s.fill !== null) {
      this.endAt(at_s, this.s.fill, before_s, 'tared-while-filling');
    } else if (this.state === 'maybe') this.s.events.push({ kind: 'maybe-not', at_s });
    this.s.events.push({ kind: 'tared', at_s });
    const wasAway = this.s.state === 'away';
    this.startAnew();
    if (wasAway) {
      this.s.away = createAwayWatch(limits, 0);
      return;
    }
    toQuiet(this.s);
    this.s.mustRest = true;
  }

  private startAnew(): void {
    this.s.neverRested = false;
    this.s.empty_kg = null;
    this.s.watch.restart();
    this.s.tares.clear();
    this.s.rests.clear();
    this.s.closed = null;
    this.s.level_kg = null;
  }

  private lookForFreeze(time_s: number, mass_kg: number): void {
    const fill = this.s.fill;
    const flow = fill?.flow_kg_per_s ?? this.s.frozenWas?.flow_kg_per_s ?? 0;
    const since_s = this.s.frozen.identicalSince_s;
    const held_kg = this.s.frozen.held_kg;
    const stood_s = this.s.frozen.push(time_s, mass_kg, flow, this.s.watch.step_kg);
    if (stood_s === null) return;
    if (fill === null) {
      // The catch before was closed on a display that stood still: what comes now is the rest of the same water.
      if (this.s.frozenWas?.since_s !== since_s) return;
      this.s.frozenBefore = true;
      this.s.flatSince_s = null;
      return;
    }
    if (!heldOnTheLine(this.s, fill, fill.stop_s ?? since_s, since_s, held_kg)) return;
    fill.frozenFor_s += stood_s;
    fill.warnings.add('display-froze');
    fill.stop_s = null;
    fill.ignoreStopUntil_s = time_s + this.s.watch.window_s + limits.stopHold_s;
    if (this.state === 'settling') again(this.s, time_s);
  }
}
