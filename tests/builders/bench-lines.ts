import { sealBenchSentence } from '../../src/signal/lines/crc16.ts';

export interface BenchLineFields {
  readonly seq: number;
  readonly t_us: number;
  readonly raw?: number | '';
  readonly count?: number;
  readonly edge_us?: number;
  readonly adc?: number | '';
  readonly flags?: string;
}

/** One sealed sample of the bench board; fields not named are quiet ones. */
export function benchLine(fields: BenchLineFields): string {
  const { seq, t_us, raw = 0, count = 0, edge_us = 0, adc = 6554, flags = '00' } = fields;
  const wrap = (value: number) => ((value % 4294967296) + 4294967296) % 4294967296;
  const edge = count === 0 ? '' : wrap(edge_us);
  return sealBenchSentence(`S,${seq & 0xffff},${wrap(t_us)},${raw},${count},${edge},${adc},${flags}`);
}

/** Bytes of a text that holds one byte a character. */
export function bytesOf(text: string): Uint8Array {
  return Uint8Array.from(text, (character) => character.charCodeAt(0));
}
