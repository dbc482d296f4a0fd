import { ok, refused, type Outcome } from '../../../src/base/outcome.ts';
import type { InstrumentDescription } from '../../../src/signal/reading.ts';
import { PORT_BUFFER_BYTES, type PortLike } from './port-like.ts';
import { readPort, type PortReading } from './read-port.ts';
import { sameDevice } from './same-device.ts';
import type { Source, SourceSink } from './source.ts';

/** The part of `navigator.serial` that is needed; a double in tests. */
export interface SerialLike {
  getPorts(): Promise<PortLike[]>;
  addEventListener(kind: 'connect' | 'disconnect', listener: () => void): void;
  removeEventListener(kind: 'connect' | 'disconnect', listener: () => void): void;
}

export interface SerialSourceOptions {
  readonly serial: SerialLike;
  readonly portIndex: number;
  readonly baudRate: number;
  readonly description: InstrumentDescription;
  readonly clock_s: () => number;
  /** How long to wait before trying to open a port that came back; grows to eight times this. */
  readonly retry_ms?: number;
}

/** A real port, opened here in the worker, so that a busy page never delays a time stamp; comes back after an unplug. */
export class SerialSource implements Source {
  readonly simulated = false;
  readonly trueNozzleConstant_m3_per_s_per_sqrtPa = null;
  readonly headerFacts = {};
  readonly description: InstrumentDescription;
  readonly #options: SerialSourceOptions;
  readonly #retry_ms: number;
  #port: PortLike | null = null;
  #reading: PortReading | null = null;
  #closed = false;
  #origin_s = 0;
  #wake: (() => void) | null = null;
  /** Attempts to reopen since a byte came last: a port that opens and then fails must not be hammered. */
  #attempts = 0;

  constructor(options: SerialSourceOptions) {
    this.#options = options;
    this.#retry_ms = options.retry_ms ?? 250;
    this.description = options.description;
  }

  now_s(): number {
    return this.#options.clock_s() - this.#origin_s;
  }

  follow(): void {
    // A real person hears the prompts with their own ears.
  }

  async start(sink: SourceSink): Promise<Outcome<true>> {
    this.#origin_s = this.#options.clock_s();
    const ports = await this.#options.serial.getPorts();
    const port = ports[this.#options.portIndex];
    if (port === undefined) return refused('no-port-picked');
    const opened = await this.#open(port);
    if (!opened.ok) return opened;
    // An error of our own is nobody's to catch: it reaches the worker's scope, and the page is told of a crash.
    void this.#run(port, ports, sink);
    return ok(true);
  }

  async close(): Promise<void> {
    this.#closed = true;
    this.#wake?.();
    await this.#reading?.stop();
    await this.#port?.close().catch(() => undefined);
    this.#port = null;
  }

  async #open(port: PortLike): Promise<Outcome<true>> {
    try {
      await port.open({ baudRate: this.#options.baudRate, bufferSize: PORT_BUFFER_BYTES });
      this.#port = port;
      return ok(true);
    } catch (error) {
      const { name } = error as { name?: string };
      return refused(name === 'InvalidStateError' ? 'port-already-open' : 'port-busy-or-gone');
    }
  }

  /** Read, and after a loss wait for the same kind of device to come back; only `close` ends it. */
  async #run(first: PortLike, others: readonly PortLike[], sink: SourceSink): Promise<void> {
    let port = first;
    let there = others;
    for (;;) {
      this.#reading = readPort(
        port,
        (bytes) => {
          this.#attempts = 0;
          sink.chunk({ arrival_s: this.now_s(), bytes });
        },
        (because) => sink.gap(because),
      );
      await this.#reading.ended;
      if (this.#isClosed()) return;
      await port.close().catch(() => undefined);
      // It may have been closed while the port was being closed: then nothing was lost.
      if (this.#isClosed()) return;
      this.#port = null;
      sink.lost();
      const again = await this.#waitFor(port, there);
      if (again === null) return;
      ({ port, there } = again);
      sink.back();
    }
  }

  /** The lost device, open again, and what was there then; null when closed meanwhile. */
  async #waitFor(
    lost: PortLike,
    before: readonly PortLike[],
  ): Promise<{ readonly port: PortLike; readonly there: readonly PortLike[] } | null> {
    while (!this.#isClosed()) {
      const wait_ms = this.#attempts === 0 ? 0 : this.#retry_ms * Math.min(8, 2 ** (this.#attempts - 1));
      this.#attempts += 1;
      if (wait_ms > 0) await this.#pause(wait_ms);
      if (this.#isClosed()) return null;
      const there = await this.#options.serial.getPorts().catch((): PortLike[] => []);
      for (const port of sameDevice(lost, there, before)) {
        if (!(await this.#open(port)).ok) continue;
        if (!this.#isClosed()) return { port, there };
        await port.close().catch(() => undefined);
      }
    }
    return null;
  }

  /** Until the time is over, a device was plugged in, or we were closed. */
  #pause(ms: number): Promise<void> {
    const { serial } = this.#options;
    return new Promise((resolve) => {
      const finish = (): void => {
        clearTimeout(timer);
        serial.removeEventListener('connect', finish);
        this.#wake = null;
        resolve();
      };
      const timer = setTimeout(finish, ms);
      serial.addEventListener('connect', finish);
      this.#wake = finish;
    });
  }

  #isClosed(): boolean {
    return this.#closed;
  }
}
