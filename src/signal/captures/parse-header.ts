import { refused, ok, type Outcome, type Refusal } from '../../base/outcome.ts';
import { CAPTURE_VERSION, type CaptureHeader } from './header.ts';
import { headerValue, isKnownKey } from './header-keys.ts';

export const FIRST_LINE = '#catchbench-capture ';

/** The first line of a file: null if it is one we read, else why not. */
export function checkFirstLine(line: string): Refusal | null {
  const found = /^#catchbench-capture (\d{1,9})\s*$/.exec(line)?.[1];
  if (found === undefined || Number(found) < 1) return refused('not-a-capture');
  if (Number(found) > CAPTURE_VERSION) {
    return refused('capture-version-newer', { found: Number(found), known: CAPTURE_VERSION });
  }
  return null;
}

/** Gathers the header's lines (`# key: value`) and gives the typed header. */
export class HeaderParser {
  readonly #known = new Map<string, string | number | boolean>();
  readonly #unknown = new Map<string, string>();

  /** One header line with its number in the file; a refusal names the key, the value and the line. */
  take(line: string, lineNumber: number): Refusal | null {
    const found = /^#\s*([A-Za-z][\w-]*)\s*:(.*)$/s.exec(line);
    // A line without a key is a comment.
    if (found === null) return null;
    const [, key = '', rest = ''] = found;
    const text = rest.trim();
    if (!isKnownKey(key)) {
      this.#unknown.set(key, text);
      return null;
    }
    const value = headerValue(key, text);
    const isRepeatedOtherwise = this.#known.has(key) && this.#known.get(key) !== value;
    if (value === undefined || isRepeatedOtherwise) {
      return refused('capture-header-wrong', { key, value: text.slice(0, 80), line: lineNumber });
    }
    this.#known.set(key, value);
    return null;
  }

  finish(lineNumber: number): Outcome<CaptureHeader> {
    if (!this.#known.has('instrument')) {
      return refused('capture-header-wrong', { key: 'instrument', value: '', line: lineNumber });
    }
    const header = { ...Object.fromEntries(this.#known), unknown: Object.fromEntries(this.#unknown) };
    // Each value has passed the rule of its key, and the instrument is there.
    return ok(header as unknown as CaptureHeader);
  }
}
