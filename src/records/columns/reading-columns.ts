import type { Reading } from '../../signal/reading.ts';

/** The quantities of a reading, in the order of their codes in the packed layout. */
export const columnNames = [
  'time_s',
  'arrival_s',
  'device_s',
  'mass_kg',
  'step_kg',
  'pulses',
  'edge_s',
  'supplyFraction',
] as const;

export type ColumnName = (typeof columnNames)[number];

/** Readings as columns of equal length. NaN stands for null. */
export type ReadingColumns = Readonly<Record<ColumnName, Float64Array>> & {
  /** One byte a row: state in bits 0-2, stable in 3-4, net in 5-6 (0 null, 1 false, 2 true), a gap before it in 7. */
  readonly flags: Uint8Array;
};

const states = ['ok', 'over', 'under', 'wait', 'no-load-cell'] as const;
const GAP_BIT = 0x80;

/** `gapBefore`: rows whose reading is not continuous with the one before. Nothing is rounded. */
export function columnsFromReadings(
  readings: readonly Reading[],
  gapBefore: readonly number[] = [],
): ReadingColumns {
  const column = (name: ColumnName) => Float64Array.from(readings, (reading) => reading[name] ?? NaN);
  const flags = Uint8Array.from(
    readings,
    ({ state, stable, net }) => states.indexOf(state) | (threeWay(stable) << 3) | (threeWay(net) << 5),
  );
  for (const row of gapBefore) if (row >= 0 && row < flags.length) flags[row]! |= GAP_BIT;
  return {
    time_s: column('time_s'),
    arrival_s: column('arrival_s'),
    device_s: column('device_s'),
    mass_kg: column('mass_kg'),
    step_kg: column('step_kg'),
    pulses: column('pulses'),
    edge_s: column('edge_s'),
    supplyFraction: column('supplyFraction'),
    flags,
  };
}

/** The way back. Columns must be of equal length, as `columnsFromReadings` and `unpackColumns` make them. */
export function readingsFromColumns(columns: ReadingColumns): {
  readonly readings: readonly Reading[];
  readonly gapBefore: readonly number[];
} {
  const gapBefore: number[] = [];
  const readings = Array.from(columns.flags, (flags, row): Reading => {
    if ((flags & GAP_BIT) !== 0) gapBefore.push(row);
    const at = (name: ColumnName) => columns[name][row]!;
    return {
      time_s: at('time_s'),
      arrival_s: at('arrival_s'),
      device_s: orNull(at('device_s')),
      mass_kg: orNull(at('mass_kg')),
      state: states[flags & 7] ?? 'wait',
      stable: fromThreeWay((flags >> 3) & 3),
      net: fromThreeWay((flags >> 5) & 3),
      step_kg: orNull(at('step_kg')),
      pulses: orNull(at('pulses')),
      edge_s: orNull(at('edge_s')),
      supplyFraction: orNull(at('supplyFraction')),
    };
  });
  return { readings, gapBefore };
}

function threeWay(value: boolean | null): number {
  return value === null ? 0 : value ? 2 : 1;
}

function fromThreeWay(code: number): boolean | null {
  return code === 0 ? null : code === 2;
}

function orNull(value: number): number | null {
  return Number.isNaN(value) ? null : value;
}
