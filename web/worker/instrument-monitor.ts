import type { Because, GapReason } from '../../src/base/because.ts';
import type { InstrumentDescription, StreamEvent } from '../../src/signal/reading.ts';
import type { InstrumentView, SimulatedSpeed } from '../contract.ts';

/** Readings over this span give the rate that the page shows. */
const RATE_SPAN_S = 5;
/** Bytes but no reading for so long: wrong baud, another device, a unit nobody knows. */
const GARBLED_AFTER_LINES = 8;

/** What the page is told about the instrument, kept up to date from the stream's events. */
export class InstrumentMonitor {
  #view: InstrumentView = closedInstrument();
  #arrivals: number[] = [];
  #refusedInARow = 0;
  #withoutMassInARow = 0;
  /** False for a board with a meter alone: it has no weight to miss. */
  #weighs = true;

  get view(): InstrumentView {
    return this.#view;
  }

  open(
    source: 'simulated' | 'serial',
    description: InstrumentDescription,
    speed: SimulatedSpeed | null,
  ): void {
    this.#weighs = description.kind === 'scale' || description.kilogramsPerCount !== 0;
    this.#arrivals = [];
    this.#refusedInARow = 0;
    this.#view = {
      ...closedInstrument(),
      source,
      kind: description.kind,
      speed,
      simulated: source === 'simulated',
      state: 'listening',
    };
  }

  close(because: Because | null = null): void {
    this.#view = { ...closedInstrument(), because, state: because === null ? 'closed' : 'refused' };
  }

  setSpeed(speed: SimulatedSpeed): void {
    this.#view = { ...this.#view, speed };
  }

  lost(): void {
    this.#view = {
      ...this.#view,
      state: 'lost',
      because: 'device-lost',
      readingsPerSecond: null,
      mass_kg: null,
    };
  }

  back(): void {
    this.#view = { ...this.#view, state: 'listening', because: null };
    this.#arrivals = [];
  }

  silent(): void {
    if (this.#view.state !== 'reading' && this.#view.state !== 'listening') return;
    const quiet = this.#view.readings === 0 ? 'no-readings-yet' : 'readings-stopped';
    const because = this.#view.because ?? (this.#refusedInARow > 0 ? 'wrong-baud-likely' : quiet);
    this.#view = { ...this.#view, state: 'silent', because, readingsPerSecond: null };
  }

  /** Something came that is not believed yet. Device text: shown as text only, and not much of it. */
  heard(line: string): void {
    this.#view = { ...this.#view, lastRefusedLine: line.slice(0, 80) };
  }

  /** It speaks, but not as it should. */
  trouble(because: Because): void {
    this.#view = { ...this.#view, because };
  }

  gap(because: GapReason): void {
    this.#view = { ...this.#view, gaps: this.#view.gaps + 1, lastGap: because };
  }

  /** Bytes that never made a line, as a wrong baud rate gives. */
  garbled(): void {
    if (this.#view.readings === 0) this.#view = { ...this.#view, because: 'wrong-baud-likely' };
  }

  accept(event: StreamEvent): void {
    switch (event.kind) {
      case 'reading': {
        const { arrival_s, mass_kg } = event.reading;
        this.#refusedInARow = 0;
        const isMissed = mass_kg === null && this.#weighs;
        this.#withoutMassInARow = isMissed ? this.#withoutMassInARow + 1 : 0;
        this.#arrivals.push(arrival_s);
        while (this.#arrivals.length > 0 && this.#arrivals[0]! < arrival_s - RATE_SPAN_S)
          this.#arrivals.shift();
        const span_s = arrival_s - this.#arrivals[0]!;
        const readingsPerSecond = span_s > 1 ? (this.#arrivals.length - 1) / span_s : null;
        this.#view = {
          ...this.#view,
          state: 'reading',
          // A display of dashes or an overload that stays: it reads well, and there is no weight in it.
          because:
            this.#withoutMassInARow < GARBLED_AFTER_LINES
              ? null
              : event.reading.state === 'over'
                ? 'over-range'
                : 'no-mass',
          lastRefusedLine: this.#view.linesRefused === 0 ? null : this.#view.lastRefusedLine,
          mass_kg,
          readings: this.#view.readings + 1,
          readingsPerSecond,
        };
        break;
      }
      case 'line-refused': {
        this.#refusedInARow += 1;
        const hopeless = this.#refusedInARow >= GARBLED_AFTER_LINES;
        this.#view = {
          ...this.#view,
          linesRefused: this.#view.linesRefused + 1,
          lastRefusedLine: event.line.slice(0, 80),
          because: hopeless
            ? this.#view.readings === 0
              ? event.because
              : 'readings-stopped'
            : this.#view.because,
        };
        break;
      }
      case 'gap':
        this.gap(event.because);
        break;
      case 'board-says':
      case 'unit-changed':
        break;
    }
  }
}

function closedInstrument(): InstrumentView {
  return {
    source: 'none',
    state: 'closed',
    kind: null,
    simulated: false,
    speed: null,
    readingsPerSecond: null,
    mass_kg: null,
    readings: 0,
    linesRefused: 0,
    gaps: 0,
    lastGap: null,
    lastRefusedLine: null,
    because: null,
  };
}
