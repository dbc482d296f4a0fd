import type { Warning } from '../../base/because.ts';
import { ok, refused, type Outcome, type Refusal } from '../../base/outcome.ts';
import { unescapeLine } from './escape.ts';
import type { CaptureHeader } from './header.ts';
import { parseMark, type CaptureMark } from './mark.ts';
import { checkFirstLine, FIRST_LINE, HeaderParser } from './parse-header.ts';

/** Larger files are refused before they are read (`refuseTooBig`), or when that much of one has come. */
export const CAPTURE_LIMIT_BYTES = 512e6;

/** A line that goes on longer than this is no line of a capture (the longest device line, all escaped, is a sixtieth). */
const LONGEST_LINE = 1e6;

export interface CaptureSink {
  header(header: CaptureHeader): void;
  /** One line of the instrument, one byte a character, escapes undone. */
  line(arrival_s: number, line: string): void;
  mark(at_s: number, mark: CaptureMark): void;
}

export interface CaptureSummary {
  /** Lines of the instrument. */
  readonly lines: number;
  readonly marks: number;
  readonly unknownMarks: number;
  /** Lines that are neither: no time, no tab, or a time before the last line's. They were left out. */
  readonly malformedLines: number;
  readonly firstMalformedLine: number | null;
  /** The file ends within a line: that last piece was left out, for a number in it may be half a number. */
  readonly cutShort: boolean;
  readonly firstArrival_s: number | null;
  readonly lastArrival_s: number | null;
  readonly warnings: readonly Warning[];
}

/** Null if a file of this size is read, else the refusal with both sizes. */
export function refuseTooBig(size_bytes: number): Refusal | null {
  return size_bytes > CAPTURE_LIMIT_BYTES
    ? refused('capture-too-big', { size_bytes, limit_bytes: CAPTURE_LIMIT_BYTES })
    : null;
}

/**
 * Reads a capture piece by piece, holding no more than the piece and one line. What it finds goes to the sink in order.
 * After a refusal it takes nothing more and repeats the refusal.
 */
export class CaptureReader {
  readonly #sink: CaptureSink;
  readonly #header = new HeaderParser();
  #stage: 'first-line' | 'header' | 'body' = 'first-line';
  #refusal: Refusal | null = null;
  #held = '';
  #skipping = false;
  #taken = 0;
  #lineNumber = 0;
  #lines = 0;
  #marks = 0;
  #unknownMarks = 0;
  #malformedLines = 0;
  #firstMalformedLine: number | null = null;
  #firstArrival_s: number | null = null;
  #lastArrival_s: number | null = null;
  readonly #warnings = new Set<Warning>();

  constructor(sink: CaptureSink) {
    this.#sink = sink;
  }

  push(text: string): Outcome<true> {
    if (this.#refusal !== null) return this.#refusal;
    this.#taken += text.length;
    this.#refusal = refuseTooBig(this.#taken) ?? this.#read(text);
    return this.#refusal ?? ok(true);
  }

  finish(): Outcome<CaptureSummary> {
    if (this.#refusal !== null) return this.#refusal;
    const cutShort = this.#held !== '' || this.#skipping;
    if (this.#stage === 'first-line') {
      // A file cut within its first line is still told apart from one that never was a capture.
      this.#refusal = this.#taken === 0 ? refused('capture-empty') : refused('not-a-capture');
      return this.#refusal;
    }
    if (this.#stage === 'header') {
      this.#refusal = this.#endHeader();
      if (this.#refusal !== null) return this.#refusal;
    }
    if (cutShort) this.#warnings.add('capture-cut-short');
    return ok({
      lines: this.#lines,
      marks: this.#marks,
      unknownMarks: this.#unknownMarks,
      malformedLines: this.#malformedLines,
      firstMalformedLine: this.#firstMalformedLine,
      cutShort,
      firstArrival_s: this.#firstArrival_s,
      lastArrival_s: this.#lastArrival_s,
      warnings: [...this.#warnings],
    });
  }

  #read(text: string): Refusal | null {
    let start = 0;
    for (;;) {
      const end = text.indexOf('\n', start);
      if (end < 0) break;
      const piece = text.slice(start, end);
      start = end + 1;
      const line = this.#held === '' ? piece : this.#held + piece;
      this.#held = '';
      this.#lineNumber += 1;
      if (this.#skipping) {
        this.#skipping = false;
        this.#warnings.add('lines-cut');
        this.#malformed();
        continue;
      }
      const refusal = this.#takeLine(line.endsWith('\r') ? line.slice(0, -1) : line);
      if (refusal !== null) return refusal;
    }
    this.#held = this.#skipping ? '' : this.#held + text.slice(start);
    if (this.#stage === 'first-line') return this.#refuseEarly();
    if (this.#held.length > LONGEST_LINE) {
      this.#held = '';
      this.#skipping = true;
    }
    return null;
  }

  /** A picture or a film is refused after a few characters, not after its first LF. */
  #refuseEarly(): Refusal | null {
    const begun = withoutMark(this.#held).slice(0, FIRST_LINE.length);
    const may = FIRST_LINE.startsWith(begun) && this.#held.length < 100;
    return may ? null : refused('not-a-capture');
  }

  #takeLine(line: string): Refusal | null {
    if (this.#stage === 'first-line') {
      this.#stage = 'header';
      return checkFirstLine(withoutMark(line));
    }
    if (this.#stage === 'header') {
      if (line.startsWith('#')) return this.#header.take(line, this.#lineNumber);
      if (line === '') return null;
      // A damaged header line must not end the header: the unit and "simulated" may stand below it.
      if (!/^\d+(?:\.\d+)?\t/.test(line)) {
        this.#malformed();
        return null;
      }
      const refusal = this.#endHeader();
      if (refusal !== null) return refusal;
    }
    this.#takeBodyLine(line);
    return null;
  }

  #endHeader(): Refusal | null {
    this.#stage = 'body';
    const header = this.#header.finish(this.#lineNumber);
    if (!header.ok) return header;
    // `truth` belongs to simulated captures, for whoever scores an analysis; it is not ours to read.
    if (Object.keys(header.value.unknown).some((key) => key !== 'truth')) {
      this.#warnings.add('unknown-header-key');
    }
    this.#sink.header(header.value);
    return null;
  }

  #takeBodyLine(line: string): void {
    if (line === '') return;
    const tab = line.indexOf('\t');
    const time_s = tab > 0 ? timeOf(line, tab) : Number.NaN;
    if (Number.isNaN(time_s)) {
      this.#malformed();
      return;
    }
    if (line.charCodeAt(tab + 1) === 33 /* ! */) {
      const mark = parseMark(line.slice(tab + 1));
      this.#marks += 1;
      if (mark.kind === 'unknown') {
        this.#unknownMarks += 1;
        this.#warnings.add('unknown-mark');
      }
      this.#sink.mark(time_s, mark);
      return;
    }
    if (this.#lastArrival_s !== null && time_s < this.#lastArrival_s) {
      this.#malformed();
      return;
    }
    this.#firstArrival_s ??= time_s;
    this.#lastArrival_s = time_s;
    this.#lines += 1;
    this.#sink.line(time_s, unescapeLine(line.slice(tab + 1)));
  }

  #malformed(): void {
    this.#malformedLines += 1;
    this.#firstMalformedLine ??= this.#lineNumber;
    this.#warnings.add('lines-refused');
  }
}

const TIME = /^\d{1,9}(?:\.\d{1,9})?$/;

function timeOf(line: string, tab: number): number {
  const text = line.slice(0, tab);
  return TIME.test(text) ? Number(text) : Number.NaN;
}

/** Editors put a byte order mark in front. */
function withoutMark(text: string): string {
  return text.charCodeAt(0) === 0xfeff ? text.slice(1) : text;
}
