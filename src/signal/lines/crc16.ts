/**
 * CRC-16/XMODEM: polynomial 0x1021, start 0, neither reflected nor inverted. Check value: "123456789" gives 0x31C3
 * (given with the line's description). Table driven, one step a byte.
 */
const table = new Uint16Array(256);
for (let byte = 0; byte < 256; byte += 1) {
  let crc = byte << 8;
  for (let bit = 0; bit < 8; bit += 1) crc = crc & 0x8000 ? (crc << 1) ^ 0x1021 : crc << 1;
  table[byte] = crc;
}

/** CRC of the characters `start` to `end` (not included) of a string that holds one byte a character. */
export function crc16(text: string, start = 0, end = text.length): number {
  let crc = 0;
  for (let at = start; at < end; at += 1) {
    crc = ((crc << 8) & 0xffff) ^ table[((crc >> 8) ^ text.charCodeAt(at)) & 0xff]!;
  }
  return crc;
}

/** A whole sentence of the bench line from its body: `$body*HHHH`, without the line end. */
export function sealBenchSentence(body: string): string {
  return `$${body}*${crc16(body).toString(16).toUpperCase().padStart(4, '0')}`;
}
