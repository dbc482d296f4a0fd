import type { Chunk } from '../reading.ts';

/** One line as it came: what a decoder reads and what a capture keeps. */
export interface RawLine {
  /** Arrival of the chunk that held the line's end, s; rounded to 1 µs and never decreasing. */
  readonly arrival_s: number;
  /** The bytes, one a character (latin1), without the line's end. */
  readonly line: string;
  /** It was longer than the cap; `line` is its beginning. */
  readonly cut: boolean;
}

/** Longer lines are cut (and counted): no instrument we read says so much, but noise without line ends does. */
export const MAX_LINE_BYTES = 4096;

/** The finest time a capture can keep, so that a replayed capture gives the very numbers of the live stream. */
const ARRIVAL_STEPS_PER_S = 1e6;

// STX and ETX stand round a line on some scales, so both part lines like CR and LF do. With the eighth bit set they are
// the same characters as seen when a 7E1 or 7O1 line is read as 8N1.
const isEnd = new Uint8Array(256);
for (const end of [0x02, 0x03, 0x0a, 0x0d]) {
  isEnd[end] = 1;
  isEnd[end | 0x80] = 1;
}

/**
 * Joins chunks and parts them into lines, whatever the cutting of the chunks. Lines end with CR, LF, both, STX or ETX;
 * a line with nothing in it is not a line. What comes before the first end is half a line and is dropped, unless the
 * stream is known to begin at a line's start (`startsAtLine`).
 */
export class LineSplitter {
  readonly #maxLength: number;
  readonly #held: Uint8Array;
  #heldLength = 0;
  #overflow = 0;
  #synchronised: boolean;
  #arrival_s = Number.NEGATIVE_INFINITY;
  #linesCut = 0;
  #bytesDropped = 0;

  constructor(options: { readonly maxLength?: number; readonly startsAtLine?: boolean } = {}) {
    this.#maxLength = options.maxLength ?? MAX_LINE_BYTES;
    this.#held = new Uint8Array(this.#maxLength);
    this.#synchronised = options.startsAtLine ?? false;
  }

  /** Lines that were longer than the cap. */
  get linesCut(): number {
    return this.#linesCut;
  }

  /** Bytes in no line: before the first end, after a gap, beyond the cap. */
  get bytesDropped(): number {
    return this.#bytesDropped;
  }

  push(chunk: Chunk): RawLine[] {
    const { bytes } = chunk;
    const rounded = Math.round(chunk.arrival_s * ARRIVAL_STEPS_PER_S) / ARRIVAL_STEPS_PER_S;
    if (rounded > this.#arrival_s) this.#arrival_s = rounded;
    const lines: RawLine[] = [];
    let start = 0;
    for (let at = 0; at < bytes.length; at += 1) {
      if (isEnd[bytes[at]!] === 0) continue;
      const line = this.#finish(bytes, start, at);
      if (line !== null) lines.push(line);
      start = at + 1;
    }
    this.#hold(bytes, start, bytes.length);
    return lines;
  }

  /** After a gap: forget the line in progress and everything up to the next end. */
  drop(): void {
    this.#bytesDropped += this.#heldLength + this.#overflow;
    this.#heldLength = 0;
    this.#overflow = 0;
    this.#synchronised = false;
  }

  #hold(bytes: Uint8Array, start: number, end: number): void {
    if (!this.#synchronised) {
      this.#bytesDropped += end - start;
      return;
    }
    const taken = Math.min(end - start, this.#maxLength - this.#heldLength);
    if (taken > 0) this.#held.set(bytes.subarray(start, start + taken), this.#heldLength);
    this.#heldLength += taken;
    this.#overflow += end - start - taken;
  }

  #finish(bytes: Uint8Array, start: number, end: number): RawLine | null {
    if (!this.#synchronised) {
      this.#bytesDropped += end - start;
      this.#synchronised = true;
      return null;
    }
    // The common case, a whole line inside one chunk, is not copied first.
    if (this.#heldLength === 0 && end - start <= this.#maxLength) {
      if (end === start) return null;
      return { arrival_s: this.#arrival_s, line: latin1(bytes, start, end), cut: false };
    }
    this.#hold(bytes, start, end);
    const line = latin1(this.#held, 0, this.#heldLength);
    const cut = this.#overflow > 0;
    if (cut) this.#linesCut += 1;
    this.#bytesDropped += this.#overflow;
    this.#heldLength = 0;
    this.#overflow = 0;
    return { arrival_s: this.#arrival_s, line, cut };
  }
}

const ARGUMENTS_AT_ONCE = 8192;

function latin1(bytes: Uint8Array, start: number, end: number): string {
  // TextDecoder('latin1') is windows-1252 by the Encoding standard and would change 0x80-0x9F.
  let text = '';
  for (let from = start; from < end; from += ARGUMENTS_AT_ONCE) {
    const part = bytes.subarray(from, Math.min(end, from + ARGUMENTS_AT_ONCE));
    text += String.fromCharCode.apply(null, part as unknown as number[]);
  }
  return text;
}
