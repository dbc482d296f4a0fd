/** Version of the shapes in this folder. A change of meaning raises it and adds an upgrader (see FORMATS.md). */
export const RECORD_VERSION = 3;

/**
 * What every record carries, whatever its kind. These fields keep their names and meanings in all versions to come, so
 * that a program can at least say what a record is that it is too old to read.
 */
export interface Envelope {
  /** UUID version 7, made by whoever writes the record; never used again. */
  readonly id: string;
  readonly recordVersion: typeof RECORD_VERSION;
  /** The sweep this record belongs to; the first record of a sweep has its own id here. */
  readonly sweepId: string;
  /** Wall clock when it was written, milliseconds since 1970-01-01T00:00Z. */
  readonly recordedAt_ms: number;
  /** IANA name of the time zone the person was in. */
  readonly timeZone: string;
  /** Id of the record that this one corrects; null for something new. Nothing is ever rewritten. */
  readonly replaces: string | null;
  /** True for anything that came out of a simulated bench: it never becomes a baseline. */
  readonly simulated: boolean;
  readonly appVersion: string;
}
