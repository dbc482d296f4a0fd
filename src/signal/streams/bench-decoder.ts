import type { GapReason, LineReason } from '../../base/because.ts';
import {
  FLAG_SETTLING,
  parseBenchLine,
  RAW_MAX,
  RAW_MIN,
  type BenchSample,
} from '../lines/bench-sentence.ts';
import { MAX_LINE_BYTES, type RawLine } from '../lines/line-splitter.ts';
import type { InstrumentDescription, Reading, StreamEvent } from '../reading.ts';
import { BoardCounters } from './board-counters.ts';
import type { LineDecoder } from './decoder.ts';

type BoardDescription = Extract<InstrumentDescription, { kind: 'bench-board' }>;

/**
 * Decoder of the bench board. `device_s` begins at 0 with the first sample after every (re)start; `time_s` is that clock
 * brought onto the arrival axis by the early edge of the last seconds (provisional, never decreasing, never later than
 * arrival); `time_s - edge_s` is exactly the age of the newest pulse on the device's clock. A restart (`B`, or clock or
 * count going backwards) and lost lines each give a gap before the sample that revealed them.
 */
export class BenchDecoder implements LineDecoder {
  readonly #description: BoardDescription;
  readonly #counters = new BoardCounters();
  readonly linesWithoutUnit = 0;
  #linesRefused = 0;
  #gaps = 0;

  constructor(description: BoardDescription) {
    this.#description = description;
  }

  get linesRefused(): number {
    return this.#linesRefused;
  }

  get gaps(): number {
    return this.#gaps;
  }

  decode(raw: RawLine): StreamEvent[] {
    const at_s = raw.arrival_s;
    if (raw.cut || raw.line.length >= MAX_LINE_BYTES) return this.#refuse(raw, 'line-too-long');
    const sentence = parseBenchLine(raw.line);
    if (typeof sentence === 'string') return this.#refuse(raw, sentence);
    switch (sentence.kind) {
      case 'sample':
        return this.#sample(raw, sentence);
      case 'boot': {
        const said: StreamEvent = { kind: 'board-says', at_s, name: 'B', value: sentence.version };
        // A board that opens with its reset has interrupted nothing.
        const events = this.#counters.hasSample
          ? [this.#makeGap(at_s, 'board-restarted', null), said]
          : [said];
        this.#counters.restart();
        return events;
      }
      case 'answer':
        return [{ kind: 'board-says', at_s, name: sentence.name, value: sentence.value }];
      case 'error':
        return [{ kind: 'board-says', at_s, name: 'E', value: String(sentence.code) }];
      case 'identity':
        return [{ kind: 'board-says', at_s, name: '*IDN?', value: sentence.text }];
    }
  }

  gap(at_s: number, because: GapReason): StreamEvent[] {
    // A capture taken up again does not count the time between, but the board does (or it is another board by then).
    if (because === 'app-restarted') this.#counters.beginAnew();
    else this.#counters.interrupt();
    return [this.#makeGap(at_s, because, null)];
  }

  #sample(raw: RawLine, sample: BenchSample): StreamEvent[] {
    const at_s = raw.arrival_s;
    const step = this.#counters.take(sample, at_s);
    if (step.kind === 'repeated') return this.#refuse(raw, 'line-field-wrong');
    const events: StreamEvent[] = [];
    if (step.kind === 'restarted') events.push(this.#makeGap(at_s, 'board-restarted', null));
    else if (step.linesLost !== 0) events.push(this.#makeGap(at_s, 'lines-lost', step.linesLost));
    events.push({ kind: 'reading', reading: this.#reading(sample, at_s) });
    return events;
  }

  #reading(sample: BenchSample, arrival_s: number): Reading {
    const { kilogramsPerCount, countsAtZero, pulsesPerCubicMetre } = this.#description;
    const { device_s, time_s, pulses, edgeAge_s } = this.#counters;
    const state = stateOf(sample);
    const hasMass = state === 'ok' && sample.raw !== null && kilogramsPerCount !== 0;
    return {
      time_s,
      arrival_s,
      device_s,
      mass_kg: hasMass ? (sample.raw - countsAtZero) * kilogramsPerCount : null,
      state,
      stable: null,
      net: null,
      step_kg: null,
      // A board always counts; without a factor and without a pulse there is no meter on its pin.
      pulses: pulsesPerCubicMetre === null && sample.count === 0 ? null : pulses,
      edge_s: edgeAge_s === null ? null : time_s - edgeAge_s,
      supplyFraction: sample.adc === null ? null : sample.adc / 65536,
    };
  }

  #refuse(raw: RawLine, because: LineReason): StreamEvent[] {
    this.#linesRefused += 1;
    return [{ kind: 'line-refused', at_s: raw.arrival_s, line: raw.line, because }];
  }

  #makeGap(at_s: number, because: GapReason, linesLost: number | null): StreamEvent {
    this.#gaps += 1;
    return { kind: 'gap', at_s, because, linesLost };
  }
}

function stateOf(sample: BenchSample): Reading['state'] {
  if (sample.raw === null) return 'no-load-cell';
  if (sample.raw === RAW_MIN || sample.raw === RAW_MAX) return 'over';
  return (sample.flags & FLAG_SETTLING) === 0 ? 'ok' : 'wait';
}
