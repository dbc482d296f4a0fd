/**
 * One column of numbers ↔ bytes, every double given back bit for bit (all NaN alike). The smallest encoding that loses
 * nothing is taken: instruments print few decimals, so most columns are whole multiples of a power of ten.
 */
export const encodings = { absent: 0, constant: 1, steps8: 2, steps16: 3, steps32: 4, doubles: 5 } as const;

export interface EncodedColumn {
  readonly encoding: number;
  /** For `steps…`: the numbers are whole ÷ 10^decimals; else 0. */
  readonly decimals: number;
  readonly bytes: Uint8Array<ArrayBuffer>;
}

const MOST_DECIMALS = 7;
/** Largest whole number whose neighbours are exact and whose differences stay exact. */
const LARGEST_WHOLE = 2 ** 52;
const stepWidths = [
  { encoding: encodings.steps8, width: 1, limit: 0x7f },
  { encoding: encodings.steps16, width: 2, limit: 0x7fff },
  { encoding: encodings.steps32, width: 4, limit: 0x7fffffff },
] as const;

export function encodeColumn(values: Float64Array): EncodedColumn {
  if (values.every((value) => Number.isNaN(value))) {
    return { encoding: encodings.absent, decimals: 0, bytes: new Uint8Array(0) };
  }
  const first = values[0]!;
  if (values.every((value) => Object.is(value, first))) {
    return { encoding: encodings.constant, decimals: 0, bytes: doubles([first]) };
  }
  return encodeSteps(values) ?? { encoding: encodings.doubles, decimals: 0, bytes: doubles(values) };
}

/** Null when the bytes are not what the encoding needs for so many rows. */
export function decodeColumn(
  encoding: number,
  decimals: number,
  bytes: Uint8Array,
  rows: number,
): Float64Array | null {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const values = new Float64Array(rows);
  if (encoding === encodings.absent) return bytes.length === 0 ? values.fill(NaN) : null;
  if (encoding === encodings.constant) {
    return bytes.length === 8 ? values.fill(view.getFloat64(0, true)) : null;
  }
  if (encoding === encodings.doubles) {
    if (bytes.length !== 8 * rows) return null;
    for (let row = 0; row < rows; row += 1) values[row] = view.getFloat64(8 * row, true);
    return values;
  }
  const kind = stepWidths.find((candidate) => candidate.encoding === encoding);
  if (kind === undefined || decimals > MOST_DECIMALS || rows < 1) return null;
  if (bytes.length !== 8 + (rows - 1) * kind.width) return null;
  let whole = view.getFloat64(0, true);
  values[0] = whole / 10 ** decimals;
  for (let row = 1; row < rows; row += 1) {
    whole += readStep(view, 8 + (row - 1) * kind.width, kind.width);
    values[row] = whole / 10 ** decimals;
  }
  return values;
}

/** The first whole number as a double, then the difference to the one before, signed, in the narrowest width that holds all. */
function encodeSteps(values: Float64Array): EncodedColumn | null {
  const scaled = scaleToWhole(values);
  if (scaled === null) return null;
  const { wholes, decimals } = scaled;
  let largest = 0;
  for (let row = 1; row < wholes.length; row += 1) {
    largest = Math.max(largest, Math.abs(wholes[row]! - wholes[row - 1]!));
  }
  const kind = stepWidths.find(({ limit }) => largest <= limit);
  if (kind === undefined) return null;
  const bytes = new Uint8Array(8 + (wholes.length - 1) * kind.width);
  const view = new DataView(bytes.buffer);
  view.setFloat64(0, wholes[0]!, true);
  for (let row = 1; row < wholes.length; row += 1) {
    writeStep(view, 8 + (row - 1) * kind.width, kind.width, wholes[row]! - wholes[row - 1]!);
  }
  return { encoding: kind.encoding, decimals, bytes };
}

/** The fewest decimals with which every number is exactly whole ÷ 10^decimals; null for NaN, −0, ±∞ and other numbers. */
function scaleToWhole(values: Float64Array): { wholes: Float64Array; decimals: number } | null {
  for (let decimals = 0; decimals <= MOST_DECIMALS; decimals += 1) {
    const scale = 10 ** decimals;
    const wholes = values.map((value) => Math.round(value * scale));
    const exact = wholes.every(
      (whole, row) =>
        Math.abs(whole) < LARGEST_WHOLE && !Object.is(whole, -0) && Object.is(whole / scale, values[row]),
    );
    if (exact) return { wholes, decimals };
  }
  return null;
}

function doubles(values: ArrayLike<number>): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(8 * values.length);
  const view = new DataView(bytes.buffer);
  for (let row = 0; row < values.length; row += 1) view.setFloat64(8 * row, values[row]!, true);
  return bytes;
}

function readStep(view: DataView, at: number, width: 1 | 2 | 4): number {
  if (width === 1) return view.getInt8(at);
  return width === 2 ? view.getInt16(at, true) : view.getInt32(at, true);
}

function writeStep(view: DataView, at: number, width: 1 | 2 | 4, step: number): void {
  if (width === 1) view.setInt8(at, step);
  else if (width === 2) view.setInt16(at, step, true);
  else view.setInt32(at, step, true);
}
