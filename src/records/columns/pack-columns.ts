import { ok, refused, type Outcome } from '../../base/outcome.ts';
import { decodeColumn, encodeColumn } from './encode-column.ts';
import { columnNames, type ColumnName, type ReadingColumns } from './reading-columns.ts';

/** Version of the byte layout (FORMATS.md describes it). */
export const COLUMN_LAYOUT = 1;

// "CBRC" read as a little-endian number.
const MAGIC = 0x43524243;
const HEAD_BYTES = 12;
const ENTRY_BYTES = 8;

/** Columns of equal length → one buffer, nothing lost. Throws a RangeError when the lengths differ. */
export function packColumns(columns: ReadingColumns): ArrayBuffer {
  const rows = columns.flags.length;
  const encoded = columnNames.map((name) => {
    if (columns[name].length !== rows) throw new RangeError(`column ${name} is not ${rows} long`);
    return encodeColumn(columns[name]);
  });
  const size = encoded.reduce(
    (sum, { bytes }) => sum + bytes.length,
    HEAD_BYTES + ENTRY_BYTES * encoded.length,
  );
  const packed = new Uint8Array(size + rows);
  const view = new DataView(packed.buffer);
  view.setUint32(0, MAGIC, true);
  view.setUint16(4, COLUMN_LAYOUT, true);
  view.setUint16(6, encoded.length, true);
  view.setUint32(8, rows, true);
  let at = HEAD_BYTES + ENTRY_BYTES * encoded.length;
  encoded.forEach(({ encoding, decimals, bytes }, code) => {
    const entry = HEAD_BYTES + ENTRY_BYTES * code;
    view.setUint8(entry, code);
    view.setUint8(entry + 1, encoding);
    view.setUint8(entry + 2, decimals);
    view.setUint32(entry + 4, bytes.length, true);
    packed.set(bytes, at);
    at += bytes.length;
  });
  packed.set(columns.flags, at);
  return packed.buffer;
}

/**
 * The way back.
 * Errors: `storage-newer` with `found_version` and `known_version`; `storage-failed` when the bytes are no such layout or cut.
 */
export function unpackColumns(buffer: ArrayBuffer): Outcome<ReadingColumns> {
  const damaged = refused('storage-failed', { what: 'columns', size_bytes: buffer.byteLength });
  if (buffer.byteLength < HEAD_BYTES) return damaged;
  const view = new DataView(buffer);
  if (view.getUint32(0, true) !== MAGIC) return damaged;
  const layout = view.getUint16(4, true);
  if (layout > COLUMN_LAYOUT) {
    return refused('storage-newer', { found_version: layout, known_version: COLUMN_LAYOUT });
  }
  const count = view.getUint16(6, true);
  const rows = view.getUint32(8, true);
  let at = HEAD_BYTES + ENTRY_BYTES * count;
  // Rows have a byte of flags each, so a count beyond the size is damage: say so before making room for it.
  if (count !== columnNames.length || at + rows > buffer.byteLength) return damaged;
  const columns: Partial<Record<ColumnName, Float64Array>> = {};
  for (const [code, name] of columnNames.entries()) {
    const entry = HEAD_BYTES + ENTRY_BYTES * code;
    const length = view.getUint32(entry + 4, true);
    if (view.getUint8(entry) !== code || at + length > buffer.byteLength) return damaged;
    const bytes = new Uint8Array(buffer, at, length);
    const values = decodeColumn(view.getUint8(entry + 1), view.getUint8(entry + 2), bytes, rows);
    if (values === null) return damaged;
    columns[name] = values;
    at += length;
  }
  if (at + rows !== buffer.byteLength) return damaged;
  const flags = new Uint8Array(buffer.slice(at));
  return ok({ ...(columns as Record<ColumnName, Float64Array>), flags });
}
