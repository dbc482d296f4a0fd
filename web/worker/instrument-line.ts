import type { GapReason } from '../../src/base/because.ts';
import { ok, type Outcome } from '../../src/base/outcome.ts';
import { LineSplitter, type RawLine } from '../../src/signal/lines/line-splitter.ts';
import { InstrumentRecogniser } from '../../src/signal/lines/recognise.ts';
import type { Chunk, Reading, StreamEvent } from '../../src/signal/reading.ts';
import { HeardWater } from '../../src/session/heard-water.ts';
import { createDecoder, type LineDecoder } from '../../src/signal/streams/decoder.ts';
import type { SimulatedSpeed } from '../contract.ts';
import { describedHeader } from './capture-header-of.ts';
import type { Source, SourceSink } from './device/source.ts';
import { InstrumentMonitor } from './instrument-monitor.ts';

/** No reading for so long and the instrument counts as silent. */
const SILENT_AFTER_S = 3;
/** Bytes without a line's end: no rate of a scale makes lines that long. */
const GARBLED_BYTES = 200;

/** Who hears the open instrument. Times are the stream's. */
export interface LineListener {
  reading(reading: Reading): void;
  line(raw: RawLine, events: readonly StreamEvent[]): void;
  gap(because: GapReason, at_s: number): void;
  /** Something that is shown has changed. */
  changed(): void;
}

/** The instrument that is open: its bytes become lines and readings, its silence is noticed, its state is kept for the page. */
export class InstrumentLine {
  readonly monitor = new InstrumentMonitor();
  readonly #listener: LineListener;
  #source: Source | null = null;
  /** Whose events count: the source that is being opened or is open. */
  #heard: Source | null = null;
  #splitter = new LineSplitter();
  #decoder: LineDecoder | null = null;
  #water: HeardWater | null = null;
  #recogniser = new InstrumentRecogniser();
  #isKnown = false;
  #lastReading_s = 0;
  #silenceTimer: ReturnType<typeof setInterval> | null = null;

  constructor(listener: LineListener) {
    this.#listener = listener;
  }

  /** What this reading says of the water: the mass shown, or what has passed a meter that stands alone. */
  heard(reading: Reading): number | null {
    return this.#water?.of(reading) ?? null;
  }

  get source(): Source | null {
    return this.#source;
  }

  /** Closes what was open and opens this; refused with the source's reason. */
  async open(source: Source, speed: SimulatedSpeed | null): Promise<Outcome<true>> {
    await this.close();
    this.#splitter = new LineSplitter();
    this.#decoder = createDecoder(source.description);
    this.#water = new HeardWater(describedHeader(source.description));
    this.#recogniser = new InstrumentRecogniser();
    // The simulation speaks through the same parser, but there is no doubt who speaks.
    this.#isKnown = source.simulated;
    this.monitor.open(source.simulated ? 'simulated' : 'serial', source.description, speed);
    this.#heard = source;
    const started = await source.start(this.#sinkFor(source));
    if (!started.ok) {
      this.#heard = null;
      this.monitor.close(started.because);
      return started;
    }
    this.#source = source;
    this.#lastReading_s = source.now_s();
    this.#silenceTimer = setInterval(() => this.#watchSilence(), 1000);
    return ok(true);
  }

  async close(): Promise<void> {
    if (this.#silenceTimer !== null) clearInterval(this.#silenceTimer);
    this.#silenceTimer = null;
    const source = this.#source;
    this.#source = null;
    this.#heard = null;
    await source?.close();
    this.monitor.close();
  }

  #sinkFor(source: Source): SourceSink {
    // A source that was closed may still have something in hand: it is not the open instrument's.
    const whileHeard = (act: () => void): void => {
      if (this.#heard === source) act();
    };
    return {
      chunk: (chunk) => whileHeard(() => this.#onChunk(chunk, source)),
      gap: (because) => whileHeard(() => this.#onGap(because, source)),
      lost: () =>
        whileHeard(() => {
          this.monitor.lost();
          this.#onGap('device-lost', source);
        }),
      back: () =>
        whileHeard(() => {
          this.monitor.back();
          this.#listener.changed();
        }),
    };
  }

  #onChunk(chunk: Chunk, source: Source): void {
    const lines = this.#splitter.push(chunk);
    if (lines.length === 0 && this.#splitter.bytesDropped > GARBLED_BYTES) this.monitor.garbled();
    for (const raw of lines) {
      if (!this.#isRecognised(raw, source)) continue;
      const events = this.#decoder?.decode(raw) ?? [];
      for (const event of events) {
        this.monitor.accept(event);
        if (event.kind !== 'reading') continue;
        this.#lastReading_s = event.reading.arrival_s;
        this.#listener.reading(event.reading);
      }
      this.#listener.line(raw, events);
    }
    this.#listener.changed();
  }

  /** A line is believed only when several running have one shape: noise can look like a number now and then. */
  #isRecognised(raw: RawLine, source: Source): boolean {
    if (this.#isKnown) return true;
    const recognition = this.#recogniser.take(raw);
    this.monitor.heard(raw.line);
    if (recognition.kind === 'undecided') return false;
    if (recognition.kind === 'refused') {
      this.monitor.trouble(recognition.refusal.because);
      // What speaks may change its mind (a scale that boots, a cable put right): listen anew.
      this.#recogniser = new InstrumentRecogniser();
      return false;
    }
    if (recognition.kind !== source.description.kind) {
      this.monitor.trouble('another-kind-of-instrument');
      return false;
    }
    this.#isKnown = true;
    return true;
  }

  #onGap(because: GapReason, source: Source): void {
    const at_s = source.now_s();
    this.#splitter.drop();
    this.#decoder?.gap(at_s, because);
    this.monitor.gap(because);
    this.#listener.gap(because, at_s);
    this.#listener.changed();
  }

  #watchSilence(): void {
    const source = this.#source;
    if (source === null || source.simulated) return;
    if (source.now_s() - this.#lastReading_s < SILENT_AFTER_S) return;
    if (this.monitor.view.state === 'reading') this.#onGap('readings-stopped', source);
    this.monitor.silent();
    this.#listener.changed();
  }
}
