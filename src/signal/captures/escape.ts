/**
 * How a capture writes a line of any bytes as one line of printable text: every byte outside 0x20-0x7E is `\xHH`, a
 * backslash `\\`, and a `!` that begins a device's line `\x21`, so that a device can't forge a mark.
 */
const NEEDS_ESCAPE = /[^\x20-\x5b\x5d-\x7e]/;
const EACH_TO_ESCAPE = /[^\x20-\x5b\x5d-\x7e]/g;
const EACH_ESCAPED = /\\(?:\\|x([0-9A-Fa-f]{2}))/g;

/** `line` holds one byte a character. */
export function escapeLine(line: string): string {
  const escaped = escapeBytes(line);
  return escaped.startsWith('!') ? `\\x21${escaped.slice(1)}` : escaped;
}

/**
 * The bytes, one a character. A backslash that begins no escape stands for itself, and a character beyond 0x7E for its
 * UTF-8 bytes: neither is ever written, but a file edited by hand can hold them.
 */
export function unescapeLine(text: string): string {
  if (!NEEDS_ESCAPE.test(text)) return text;
  return utf8Bytes(text).replaceAll(EACH_ESCAPED, (_, hex: string | undefined) =>
    hex === undefined ? '\\' : String.fromCharCode(parseInt(hex, 16)),
  );
}

/** Text of a person: its UTF-8 bytes, escaped. */
export function escapeNote(text: string): string {
  return escapeBytes(utf8Bytes(text));
}

export function unescapeNote(text: string): string {
  const bytes = Uint8Array.from(unescapeLine(text), (character) => character.charCodeAt(0));
  return new TextDecoder('utf-8', { ignoreBOM: true }).decode(bytes);
}

function escapeBytes(bytes: string): string {
  if (!NEEDS_ESCAPE.test(bytes)) return bytes;
  return bytes.replaceAll(EACH_TO_ESCAPE, (character) =>
    character === '\\' ? '\\\\' : `\\x${character.charCodeAt(0).toString(16).toUpperCase().padStart(2, '0')}`,
  );
}

function utf8Bytes(text: string): string {
  if (!/[\u0080-\uffff]/.test(text)) return text;
  return Array.from(new TextEncoder().encode(text), (byte) => String.fromCharCode(byte)).join('');
}
