import { crc16 } from './crc16.ts';
import type { Random } from './random.ts';

/** The bench board's side of its line. */
export const BOARD_KG_PER_COUNT = 2.38e-6;
const RAW_LIMIT = 8388607;
const CLOCK_ERROR = 0.005;
/** Flag of a sentence without a load cell's number. */
const NO_LOAD_CELL = '10';

export interface BoardFacts {
  readonly number: number;
  /** True time at which the converter had data ready. */
  readonly time_s: number;
  /** Null: no load cell answers. */
  readonly mass_kg: number | null;
  readonly pulses: number;
  /** True time of the newest pulse; null before the first. */
  readonly edge_s: number | null;
  /** Pressure sensor's output as a fraction of the supply; null without a sensor. */
  readonly supplyFraction: number | null;
}

/** Writes the board's sentences: 32-bit microseconds of its own clock (a cheap resonator, drawn once), raw counts (zero
 * counts with nothing on it: a capture has no place for another zero), pulses, sensor. */
export class BoardVoice {
  /** The board's seconds per true second. */
  readonly clockRatio: number;
  private readonly begin_us: number;
  private readonly sensorNoise: Random;

  /** `error`: how far the clock is off, either sign; absent: anything up to 0.5 %. */
  constructor(random: Random, perfect: boolean, error?: number) {
    const session = random.stream('board');
    const drawn = session.uniform(-CLOCK_ERROR, CLOCK_ERROR);
    this.clockRatio = perfect ? 1 : 1 + (error === undefined ? drawn : Math.sign(drawn) * error);
    this.begin_us = Math.floor(session.uniform(1e5, 2 ** 32));
    this.sensorNoise = random.stream('sensor');
  }

  hello(): string {
    return sentence('B,simulated-1');
  }

  line(facts: BoardFacts): string {
    const counts = facts.mass_kg === null ? null : Math.round(facts.mass_kg / BOARD_KG_PER_COUNT);
    const raw = counts === null ? '' : Math.max(-RAW_LIMIT - 1, Math.min(RAW_LIMIT, counts));
    const edge = facts.edge_s === null ? '' : String(this.microseconds(facts.edge_s));
    const fields = [
      'S',
      facts.number % 65536,
      this.microseconds(facts.time_s),
      raw,
      facts.pulses,
      edge,
      this.adc(facts.supplyFraction),
      counts === null ? NO_LOAD_CELL : '00',
    ];
    return sentence(fields.join(','));
  }

  private adc(fraction: number | null): string {
    if (fraction === null) return '';
    const sum = Math.round(65536 * fraction + 20 * this.sensorNoise.normal());
    return String(Math.max(0, Math.min(65472, sum)));
  }

  private microseconds(time_s: number): number {
    return (this.begin_us + Math.round(time_s * this.clockRatio * 1e6)) % 2 ** 32;
  }
}

function sentence(body: string): string {
  return `$${body}*${crc16(body)}\r\n`;
}
