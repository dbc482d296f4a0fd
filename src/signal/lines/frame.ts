/**
 * STX, ETX, LF and CR round a line, also with the parity bit of a seven-bit frame read as eight. The splitter takes them off
 * what it cuts; a line that comes whole from a capture made elsewhere may still wear them.
 */
const FRAME = new Set([0x02, 0x03, 0x0a, 0x0d, 0x82, 0x83, 0x8a, 0x8d]);

/** The line without its frame; the same string where it has none. */
export function stripFrame(line: string): string {
  let first = 0;
  let end = line.length;
  while (first < end && FRAME.has(line.charCodeAt(first))) first += 1;
  while (end > first && FRAME.has(line.charCodeAt(end - 1))) end -= 1;
  return first === 0 && end === line.length ? line : line.slice(first, end);
}
