/** What the read loop needs of a serial port. `SerialPort` fits; so does a test double that follows the specification. */
export interface PortLike {
  open(options: PortOptions): Promise<void>;
  close(): Promise<void>;
  readonly readable: ReadableStream<Uint8Array> | null;
  getInfo(): { usbVendorId?: number; usbProductId?: number };
}

export interface PortOptions {
  readonly baudRate: number;
  readonly bufferSize: number;
}

/** The browser's 255 bytes are 22 ms at 115200 baud; a worker that analyses a catch needs more patience from its port. */
export const PORT_BUFFER_BYTES = 65536;
