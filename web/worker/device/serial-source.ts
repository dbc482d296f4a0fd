import { ok, refused, type Outcome } from '../../../src/base/outcome.ts';
import type { InstrumentDescription } from '../../../src/signal/reading.ts';
import { PORT_BUFFER_BYTES, type PortLike } from './port-like.ts';
import { readPort, type PortReading } from './read-port.ts';
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
    const port = ports[this.#options.portIndex] ?? ports[0];
    if (port === undefined) return refused('no-port-picked');
    const opened = await this.#open(port);
    if (!opened.ok) return opened;
    void this.#run(port, sink);
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
  async #run(first: PortLike, sink: SourceSink): Promise<void> {
    const { usbVendorId, usbProductId } = first.getInfo();
    let port = first;
    for (;;) {
      this.#reading = readPort(
        port,
        (bytes) => sink.chunk({ arrival_s: this.now_s(), bytes }),
        (because) => sink.gap(because),
      );
      await this.#reading.ended;
      if (this.#isClosed()) return;
      await port.close().catch(() => undefined);
      this.#port = null;
      sink.lost();
      const again = await this.#waitFor(usbVendorId, usbProductId);
      if (again === null) return;
      port = again;
      sink.back();
    }
  }

  async #waitFor(vendor: number | undefined, product: number | undefined): Promise<PortLike | null> {
    for (let attempt = 0; !this.#isClosed(); attempt += 1) {
      const ports = await this.#options.serial.getPorts().catch(() => []);
      for (const port of ports) {
        const info = port.getInfo();
        if (info.usbVendorId !== vendor || info.usbProductId !== product) continue;
        if (!(await this.#open(port)).ok) continue;
        if (!this.#isClosed()) return port;
        await port.close().catch(() => undefined);
      }
      await this.#pause(this.#retry_ms * Math.min(8, 2 ** attempt));
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
