/**
 * CRC-16/XMODEM (polynomial 0x1021, start 0) of printable text, bit by bit. The simulated board has its own, apart from the
 * parser's, so that one checks the other. The check value of that code, "123456789" -> 31C3, is in the tests.
 */
export function crc16(text: string): string {
  let crc = 0;
  for (let i = 0; i < text.length; i += 1) {
    crc ^= text.charCodeAt(i) << 8;
    for (let bit = 0; bit < 8; bit += 1)
      crc = crc & 0x8000 ? ((crc << 1) ^ 0x1021) & 0xffff : (crc << 1) & 0xffff;
  }
  return crc.toString(16).toUpperCase().padStart(4, '0');
}
