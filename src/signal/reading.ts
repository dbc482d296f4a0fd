import type { GapReason, LineReason } from '../base/because.ts';

/** One sample of an instrument, whatever its make. All times are seconds since the stream was opened. */
export interface Reading {
  /** Best time known when the reading came, on the arrival axis: device clock mapped, or arrival for a scale. */
  readonly time_s: number;
  /** Arrival of the chunk that held the end of the line. Never decreases. */
  readonly arrival_s: number;
  /** The device's own clock, unwrapped, from the first reading after (re)start; null for a scale. */
  readonly device_s: number | null;
  /** As the instrument shows, before buoyancy; null when over range, waiting or without a load cell. */
  readonly mass_kg: number | null;
  readonly state: 'ok' | 'over' | 'under' | 'wait' | 'no-load-cell';
  readonly stable: boolean | null;
  /** Net or gross as the scale says it; null when it doesn't. A change means that it was tared. */
  readonly net: boolean | null;
  /** Smallest step this line can show (last digit), kg; null for a board. */
  readonly step_kg: number | null;
  /** Flow pulses since the stream was opened, unwrapped; null without a meter. */
  readonly pulses: number | null;
  /** Time of the newest pulse on the same axis as `time_s`; null until the count has changed once. */
  readonly edge_s: number | null;
  /** adc / 65536; null without a pressure sensor reading. */
  readonly supplyFraction: number | null;
}

export type StreamEvent =
  | { readonly kind: 'reading'; readonly reading: Reading }
  | {
      readonly kind: 'gap';
      readonly at_s: number;
      readonly because: GapReason;
      readonly linesLost: number | null;
    }
  | {
      readonly kind: 'line-refused';
      readonly at_s: number;
      readonly line: string;
      readonly because: LineReason;
    }
  | { readonly kind: 'board-says'; readonly at_s: number; readonly name: string; readonly value: string }
  | { readonly kind: 'unit-changed'; readonly at_s: number; readonly unit: string };

/** What a stream has to know beforehand to make kilograms and pulses out of characters. */
export type InstrumentDescription =
  | {
      readonly kind: 'scale';
      /** What a bare number means; null: bare numbers are refused with `line-unit-missing`. */
      readonly bareUnit: MassUnit | null;
      /** Length of the scale's own moving average in readings, if known. */
      readonly averagedReadings: number | null;
    }
  | {
      readonly kind: 'bench-board';
      readonly kilogramsPerCount: number;
      readonly countsAtZero: number;
      readonly averagedReadings: number | null;
      readonly pulsesPerCubicMetre: number | null;
      readonly meterOffset_Hz: number;
      readonly pressureFullScale_Pa: number | null;
    };

export type MassUnit = 'mg' | 'g' | 'kg' | 't' | 'lb' | 'oz';

/** Bytes as they came from a port, a simulation or a file, with the time they arrived. */
export interface Chunk {
  readonly arrival_s: number;
  readonly bytes: Uint8Array;
}
