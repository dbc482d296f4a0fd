import type { GapReason } from '../../base/because.ts';
import type { RawLine } from '../lines/line-splitter.ts';
import type { InstrumentDescription, StreamEvent } from '../reading.ts';
import { BenchDecoder } from './bench-decoder.ts';
import { ScaleDecoder } from './scale-decoder.ts';

/** Lines in, readings and what else happened out, in order; the same for a live port, a simulation and a file. */
export interface LineDecoder {
  decode(raw: RawLine): StreamEvent[];
  /** The stream was interrupted: whoever found it tells. Gives the gap event to pass on. */
  gap(at_s: number, because: GapReason): StreamEvent[];
  /** Lines the parser refused; a bare number whose unit nobody named is not one of them. */
  readonly linesRefused: number;
  /** Numbers read whose unit is not known: each came as `line-refused` with `line-unit-missing`. Always 0 for a board. */
  readonly linesWithoutUnit: number;
  readonly gaps: number;
}

export function createDecoder(description: InstrumentDescription): LineDecoder {
  return description.kind === 'scale' ? new ScaleDecoder(description) : new BenchDecoder(description);
}
