import type { LineReason } from '../../base/because.ts';
import { crc16 } from './crc16.ts';

/** One conversion of the load cell, with the newest flow pulse and pressure. */
export interface BenchSample {
  readonly kind: 'sample';
  /** 0..65535, +1 a sample, wraps. */
  readonly seq: number;
  /** Device clock when the converter had data ready, µs, 32 bits. */
  readonly t_us: number;
  /** -8388608..8388607 counts; null: no load cell answers. */
  readonly raw: number | null;
  /** Flow pulses since reset, 32 bits. */
  readonly count: number;
  /** Device clock of the newest pulse, µs, 32 bits; null if and only if `count` is 0. */
  readonly edge_us: number | null;
  /** Sum of 64 ten-bit readings, 0..65472; null before the first. */
  readonly adc: number | null;
  /** Bits 01 receive error, 02 a line was dropped, 04 pulse rejected, 08 settling, 10 no load cell. */
  readonly flags: number;
}

export type BenchSentence =
  | BenchSample
  | { readonly kind: 'boot'; readonly version: string }
  | { readonly kind: 'answer'; readonly name: string; readonly value: string }
  | { readonly kind: 'error'; readonly code: number }
  /** The answer to `*IDN?`: a bare line of four comma fields, without a checksum. */
  | { readonly kind: 'identity'; readonly fields: readonly string[]; readonly text: string };

export const FLAG_SETTLING = 0x08;
export const RAW_MIN = -8388608;
export const RAW_MAX = 8388607;

const MAX_U32 = 4294967295;
const MAX_ADC = 65472;
const DOLLAR = 36;
const STAR = 42;
const COMMA = 44;
const MINUS = 45;
const BAD = Number.NaN;

/**
 * Reads one line of the bench board (`$body*CRC16`, see the design of the line), given without its end, one byte a
 * character. Gives the sentence, or the reason why it is none. Strict: every field has to be in its range.
 */
export function parseBenchLine(line: string): BenchSentence | LineReason {
  const { length } = line;
  if (length === 0) return 'line-empty';
  if (line.charCodeAt(0) !== DOLLAR) return parseBare(line);
  const end = length - 5;
  if (end < 2 || line.charCodeAt(end) !== STAR) return refusal(line, 'line-not-a-sentence');
  const stated = upperHex(line, end + 1, length);
  if (stated < 0) return refusal(line, 'line-not-a-sentence');
  if (crc16(line, 1, end) !== stated) return refusal(line, 'line-checksum-wrong');
  if (line.charCodeAt(1) === 83 /* S */ && line.charCodeAt(2) === COMMA) return parseSample(line, end);
  return parseOther(line, end);
}

// Where the field reader stands. Module state keeps the hot path free of allocations; every call sets it first.
let cursor = 0;

function parseSample(line: string, end: number): BenchSample | LineReason {
  cursor = 3;
  const seq = unsignedField(line, end, 65535);
  const t_us = unsignedField(line, end, MAX_U32);
  const raw = isEmptyField(line) ? null : signedField(line, end);
  const count = unsignedField(line, end, MAX_U32);
  const edge_us = isEmptyField(line) ? null : unsignedField(line, end, MAX_U32);
  const adc = isEmptyField(line) ? null : unsignedField(line, end, MAX_ADC);
  const flags = cursor + 2 === end ? flagsField(line, cursor) : BAD;
  // One sum finds a bad field anywhere: every BAD is NaN (null counts as 0).
  if (Number.isNaN(seq + t_us + (raw ?? 0) + count + (edge_us ?? 0) + (adc ?? 0) + flags)) {
    return refusal(line, 'line-field-wrong');
  }
  if ((edge_us === null) !== (count === 0)) return 'line-field-wrong';
  return { kind: 'sample', seq, t_us, raw, count, edge_us, adc, flags };
}

function isEmptyField(line: string): boolean {
  if (line.charCodeAt(cursor) !== COMMA) return false;
  cursor += 1;
  return true;
}

/** The digits up to the next comma; BAD if there are none, more than ten, another character or a number too large. */
function unsignedField(line: string, end: number, max: number): number {
  const start = cursor;
  let value = 0;
  while (cursor < end) {
    const code = line.charCodeAt(cursor);
    cursor += 1;
    if (code === COMMA) {
      const digits = cursor - 1 - start;
      return digits > 0 && digits <= 10 && value <= max ? value : BAD;
    }
    if (code < 48 || code > 57) return BAD;
    value = value * 10 + (code - 48);
  }
  return BAD;
}

function signedField(line: string, end: number): number {
  if (line.charCodeAt(cursor) !== MINUS) return unsignedField(line, end, RAW_MAX);
  cursor += 1;
  return 0 - unsignedField(line, end, -RAW_MIN);
}

function parseOther(line: string, end: number): BenchSentence | LineReason {
  if (!isPrintable(line)) return 'line-not-printable';
  const [letter = '', ...fields] = line.slice(1, end).split(',');
  const [first, ...rest] = fields;
  switch (letter) {
    case 'B':
      return first === undefined || first === '' || rest.length > 0
        ? 'line-field-wrong'
        : { kind: 'boot', version: first };
    case 'A':
      // The value is the rest of the body: it may hold commas itself.
      return first === undefined || first === '' || rest.length === 0
        ? 'line-field-wrong'
        : { kind: 'answer', name: first, value: rest.join(',') };
    case 'E':
      return first !== undefined && /^[123]$/.test(first) && rest.length === 0
        ? { kind: 'error', code: Number(first) }
        : 'line-field-wrong';
    case 'S':
      return 'line-field-wrong';
    default:
      return 'line-unknown-sentence';
  }
}

/** Only the answer to `*IDN?` has no checksum; the tail of a cut sentence (it holds a star) must not pass for one. */
function parseBare(line: string): BenchSentence | LineReason {
  if (!isPrintable(line)) return 'line-not-printable';
  const fields = line.split(',');
  const isIdentity = fields.length === 4 && /^[A-Za-z]/.test(line) && !/[$*]/.test(line);
  return isIdentity ? { kind: 'identity', fields, text: line } : 'line-not-a-sentence';
}

/** Noise is named as noise, whatever else is wrong with it. */
function refusal(line: string, because: LineReason): LineReason {
  return isPrintable(line) ? because : 'line-not-printable';
}

function isPrintable(line: string): boolean {
  for (let at = 0; at < line.length; at += 1) {
    const code = line.charCodeAt(at);
    if (code < 0x20 || code > 0x7e) return false;
  }
  return true;
}

function upperHex(line: string, start: number, end: number): number {
  let value = 0;
  for (let at = start; at < end; at += 1) {
    const code = line.charCodeAt(at);
    if (code >= 48 && code <= 57) value = value * 16 + (code - 48);
    else if (code >= 65 && code <= 70) value = value * 16 + (code - 55);
    else return -1;
  }
  return value;
}

function flagsField(line: string, at: number): number {
  const high = hexDigit(line.charCodeAt(at));
  const low = hexDigit(line.charCodeAt(at + 1));
  return high * 16 + low;
}

function hexDigit(code: number): number {
  if (code >= 48 && code <= 57) return code - 48;
  if (code >= 65 && code <= 70) return code - 55;
  return code >= 97 && code <= 102 ? code - 87 : BAD;
}
