/**
 * A 7E1 or 7O1 frame has the same ten bits as 8N1, so a scale set to it and read as 8N1 gives every character with its
 * parity bit on top. If all characters of the line agree on one parity the bit can be taken off without re-opening.
 *
 * Returns the line with seven-bit characters; the same line if no character has the eighth bit; null if the eighth bits
 * are no parity (noise, a wrong baud rate, text in another encoding).
 */
export function stripParityBit(line: string): string | null {
  let anyHigh = false;
  let allEven = true;
  let allOdd = true;
  for (let at = 0; at < line.length; at += 1) {
    const code = line.charCodeAt(at);
    if (code > 0xff) return null;
    if (code > 0x7f) anyHigh = true;
    if (hasEvenOnes(code)) allOdd = false;
    else allEven = false;
  }
  if (!anyHigh) return line;
  if (!allEven && !allOdd) return null;
  let stripped = '';
  for (let at = 0; at < line.length; at += 1) stripped += String.fromCharCode(line.charCodeAt(at) & 0x7f);
  return stripped;
}

function hasEvenOnes(byte: number): boolean {
  let folded = byte ^ (byte >> 4);
  folded ^= folded >> 2;
  folded ^= folded >> 1;
  return (folded & 1) === 0;
}
