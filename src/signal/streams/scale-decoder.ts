import type { GapReason, LineReason } from '../../base/because.ts';
import { OUNCE_KG, POUND_KG } from '../../base/units/constants.ts';
import { MAX_LINE_BYTES, type RawLine } from '../lines/line-splitter.ts';
import { parseScaleLine, type ScaleLine } from '../lines/scale-line.ts';
import type { InstrumentDescription, MassUnit, Reading, StreamEvent } from '../reading.ts';
import type { LineDecoder } from './decoder.ts';

const KILOGRAMS: Readonly<Record<MassUnit, number>> = {
  mg: 1e-6,
  g: 1e-3,
  kg: 1,
  t: 1000,
  lb: POUND_KG,
  oz: OUNCE_KG,
};

/**
 * Decoder of an ordinary scale. It has no clock: `time_s` is arrival, `device_s` null. The unit of a line beats the one
 * a bare number was said to have; where neither is known the line is refused with `line-unit-missing`.
 */
export class ScaleDecoder implements LineDecoder {
  readonly #bareUnit: MassUnit | null;
  #unit: MassUnit | null = null;
  #linesRefused = 0;
  #linesWithoutUnit = 0;
  #gaps = 0;

  constructor(description: Extract<InstrumentDescription, { kind: 'scale' }>) {
    this.#bareUnit = description.bareUnit;
  }

  get linesRefused(): number {
    return this.#linesRefused;
  }

  get linesWithoutUnit(): number {
    return this.#linesWithoutUnit;
  }

  get gaps(): number {
    return this.#gaps;
  }

  decode(raw: RawLine): StreamEvent[] {
    const tooLong = raw.cut || raw.line.length >= MAX_LINE_BYTES;
    const line = tooLong ? 'line-too-long' : parseScaleLine(raw.line);
    if (typeof line === 'string') {
      this.#linesRefused += 1;
      return [refusal(raw, line)];
    }
    if (line.value === null) return [reading(raw, line, null)];
    const unit = line.unit ?? this.#bareUnit;
    if (unit === null) {
      this.#linesWithoutUnit += 1;
      return [refusal(raw, 'line-unit-missing')];
    }
    const events: StreamEvent[] = [];
    if (this.#unit !== null && this.#unit !== unit) {
      events.push({ kind: 'unit-changed', at_s: raw.arrival_s, unit });
    }
    this.#unit = unit;
    events.push(reading(raw, line, unit));
    return events;
  }

  gap(at_s: number, because: GapReason): StreamEvent[] {
    this.#gaps += 1;
    return [{ kind: 'gap', at_s, because, linesLost: null }];
  }
}

function refusal(raw: RawLine, because: LineReason): StreamEvent {
  return { kind: 'line-refused', at_s: raw.arrival_s, line: raw.line, because };
}

function reading(raw: RawLine, line: ScaleLine, unit: MassUnit | null): StreamEvent {
  const factor = unit === null ? null : KILOGRAMS[unit];
  const made: Reading = {
    time_s: raw.arrival_s,
    arrival_s: raw.arrival_s,
    device_s: null,
    mass_kg: factor === null || line.value === null ? null : line.value * factor,
    state: line.state,
    stable: line.stable,
    net: line.net,
    step_kg: factor === null || line.step === null ? null : line.step * factor,
    pulses: null,
    edge_s: null,
    supplyFraction: null,
  };
  return { kind: 'reading', reading: made };
}
