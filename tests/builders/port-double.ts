import type { PortLike, PortOptions } from '../../web/worker/device/port-like.ts';
import type { SerialLike } from '../../web/worker/device/serial-source.ts';

/**
 * A serial port as the Web Serial specification has it: after a recoverable error `readable` is a new stream, after a loss
 * it is null, and a second open of an open port is an InvalidStateError.
 */
export class PortDouble implements PortLike {
  readable: ReadableStream<Uint8Array> | null = null;
  openedWith: PortOptions | null = null;
  timesOpened = 0;
  busy = false;
  #controller: ReadableStreamDefaultController<Uint8Array> | null = null;

  constructor(
    readonly ids: { usbVendorId?: number; usbProductId?: number } = { usbVendorId: 1, usbProductId: 2 },
  ) {}

  getInfo(): { usbVendorId?: number; usbProductId?: number } {
    return this.ids;
  }

  open(options: PortOptions): Promise<void> {
    if (this.busy) return Promise.reject(new DOMException('Failed to open serial port.', 'NetworkError'));
    if (this.openedWith !== null)
      return Promise.reject(new DOMException('already open', 'InvalidStateError'));
    this.openedWith = options;
    this.timesOpened += 1;
    this.#renew();
    return Promise.resolve();
  }

  close(): Promise<void> {
    if (this.readable?.locked === true) return Promise.reject(new TypeError('Cannot cancel a locked stream'));
    this.openedWith = null;
    this.readable = null;
    return Promise.resolve();
  }

  send(text: string): void {
    this.#controller?.enqueue(Uint8Array.from(text, (c) => c.charCodeAt(0)));
  }

  /** An error after which the port offers a new stream. */
  stumble(name: string): void {
    const failed = this.#controller;
    this.#renew();
    failed?.error(new DOMException(name, name));
  }

  lose(): void {
    const failed = this.#controller;
    this.readable = null;
    this.#controller = null;
    failed?.error(new DOMException('The device has been lost.', 'NetworkError'));
  }

  #renew(): void {
    this.readable = new ReadableStream({ start: (controller) => void (this.#controller = controller) });
  }
}

export class SerialDouble extends EventTarget implements SerialLike {
  ports: PortDouble[] = [];

  getPorts(): Promise<PortDouble[]> {
    return Promise.resolve(this.ports);
  }

  plug(port: PortDouble): void {
    this.ports = [...this.ports, port];
    this.dispatchEvent(new Event('connect'));
  }

  unplug(port: PortDouble): void {
    this.ports = this.ports.filter((p) => p !== port);
    port.lose();
    this.dispatchEvent(new Event('disconnect'));
  }
}
