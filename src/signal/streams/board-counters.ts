import type { BenchSample } from '../lines/bench-sentence.ts';
import { EarlyEdge } from './early-edge.ts';

const TWO_32 = 4294967296;
const US_PER_S = 1e6;
/** A line can't arrive before it was made. So far ahead of arrival, a clock that seems to have wrapped has restarted. */
const AHEAD_OF_ARRIVAL_S = 2;
const CLOCK_ERROR = 0.02;
/** Over so long a silence the 16-bit number may have gone round (80 samples/s: 819 s). */
const LOST_COUNT_KNOWN_S = 600;

export type BoardStep =
  | { readonly kind: 'on'; readonly linesLost: number | null }
  | { readonly kind: 'restarted' }
  /** The same sample twice. */
  | { readonly kind: 'repeated' };

/**
 * The board's wrapping counters made whole: sequence number, clock, pulses and the newest pulse's time. Holds the values
 * belonging to the last sample taken.
 */
export class BoardCounters {
  /** Seconds of device clock since the first sample after (re)start. */
  device_s = 0;
  /** The same on the arrival axis, provisionally. */
  time_s = Number.NEGATIVE_INFINITY;
  /** Pulses since the first sample of all, restarts included. */
  pulses = 0;
  /** Age of the newest pulse at this sample, device seconds; null until the count has changed once since connecting. */
  edgeAge_s: number | null = null;

  #last: BenchSample | null = null;
  #lastArrival_s = 0;
  /** False after an interruption that was told already: the next sample gives no second gap for it. */
  #continuous = false;
  #everStarted = false;
  #early = new EarlyEdge();
  #edge_s: number | null = null;

  /** A sample has come since the start, the last restart or the last interruption. */
  get hasSample(): boolean {
    return this.#continuous;
  }

  /** The board said that it starts anew. */
  restart(): void {
    this.#last = null;
    this.#continuous = false;
  }

  /** Lines may be missing here, and somebody has told so. The board's clock may well go on. */
  interrupt(): void {
    this.#continuous = false;
    this.#edge_s = null;
  }

  /** What comes next is on other terms with the arrival axis: nothing of the earlier clock or count may be carried on. */
  beginAnew(): void {
    this.restart();
    this.#everStarted = false;
  }

  take(sample: BenchSample, arrival_s: number): BoardStep {
    const last = this.#last;
    if (last === null) {
      // After a reset all pulses of its count are new; what was counted before the stream was opened is not ours.
      this.#begin(sample, arrival_s, this.#everStarted ? sample.count : 0);
      return { kind: 'on', linesLost: 0 };
    }
    const wasContinuous = this.#continuous;
    const passed_us = this.#passed(last, sample, arrival_s);
    if (passed_us === null || sample.count < last.count) {
      // All its pulses since the reset came after the last sample we had of it.
      this.#begin(sample, arrival_s, sample.count);
      return wasContinuous ? { kind: 'restarted' } : { kind: 'on', linesLost: 0 };
    }
    if (passed_us === 0 && sample.seq === last.seq) return { kind: 'repeated' };
    const lost = (sample.seq - last.seq - 1) & 0xffff;
    const linesLost = passed_us > LOST_COUNT_KNOWN_S * US_PER_S ? null : lost;
    this.device_s += passed_us / US_PER_S;
    if (sample.count !== last.count) {
      this.pulses += sample.count - last.count;
      this.#edge_s = edgeOf(sample, this.device_s);
    }
    this.#remember(sample, arrival_s);
    return { kind: 'on', linesLost: wasContinuous ? linesLost : 0 };
  }

  /** µs since the last sample, wraps undone; null if the clock went backwards. */
  #passed(last: BenchSample, sample: BenchSample, arrival_s: number): number | null {
    const passed_us = (sample.t_us - last.t_us) >>> 0;
    const silence_us = (arrival_s - this.#lastArrival_s) * US_PER_S;
    if (silence_us > TWO_32 / 2) {
      // So long a silence (over 35 min) can hide whole turns of the clock: arrival tells how many.
      return passed_us + Math.max(0, Math.round((silence_us - passed_us) / TWO_32)) * TWO_32;
    }
    if (sample.t_us >= last.t_us) return passed_us;
    const expected_s = this.time_s + passed_us / US_PER_S;
    const ahead_s = expected_s - arrival_s;
    const isWrap = ahead_s <= AHEAD_OF_ARRIVAL_S + (CLOCK_ERROR * passed_us) / US_PER_S;
    return isWrap && passed_us < TWO_32 / 2 ? passed_us : null;
  }

  #begin(sample: BenchSample, arrival_s: number, pulsesMissed: number): void {
    this.device_s = 0;
    this.#early = new EarlyEdge();
    this.#edge_s = null;
    this.pulses += pulsesMissed;
    this.#remember(sample, arrival_s);
  }

  #remember(sample: BenchSample, arrival_s: number): void {
    this.#last = sample;
    this.#lastArrival_s = arrival_s;
    this.#continuous = true;
    this.#everStarted = true;
    const mapped_s = this.device_s + this.#early.take(this.device_s, arrival_s);
    this.time_s = Math.max(this.time_s, mapped_s);
    this.edgeAge_s = this.#edge_s === null ? null : this.device_s - this.#edge_s;
  }
}

/** The pulse's time on the unwrapped clock. It may lie a little after the sample, so the difference is signed. */
function edgeOf(sample: BenchSample, device_s: number): number | null {
  if (sample.edge_us === null) return null;
  return device_s + ((sample.edge_us - sample.t_us) | 0) / US_PER_S;
}
