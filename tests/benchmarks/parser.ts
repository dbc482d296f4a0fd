import { cpus } from 'node:os';
import { ReadlineParser } from '@serialport/parser-readline';
import { LineSplitter } from '../../src/signal/lines/line-splitter.ts';
import { parseBenchLine } from '../../src/signal/lines/bench-sentence.ts';
import { createDecoder } from '../../src/signal/streams/decoder.ts';
import { benchLine, bytesOf } from '../builders/bench-lines.ts';
import { seeded } from '../builders/seeded.ts';

const LINES = 288_000; // one hour at 80 a second
const CHUNK_BYTES = 240; // as the default buffer of a browser's serial port cuts them
const ROUNDS = 5;

/** What stands beside ours: a general line reader and a regular expression that takes the same fields, unchecked. */
const SAMPLE = /^\$S,(\d+),(\d+),(-?\d*),(\d+),(\d*),(\d*),([0-9A-F]{2})\*([0-9A-F]{4})$/;

/**
 * Lines per second of the bench line's parser (checksum and ranges checked), of the whole way to readings, and of
 * `@serialport/parser-readline` with a regular expression (nothing checked), on the same bytes in one run. Rounds take
 * turns; each has its raw seconds.
 */
export async function run(): Promise<object> {
  const chunks = makeChunks();
  const rounds: { parser: number; toReadings: number; readlineAndRegExp: number }[] = [];
  for (let round = 0; round < ROUNDS; round += 1) {
    rounds.push({
      parser: timed(() => parseAll(chunks)),
      toReadings: timed(() => decodeAll(chunks)),
      readlineAndRegExp: await timedAsync(() => readlineAll(chunks)),
    });
  }
  const best = (name: keyof (typeof rounds)[number]) =>
    Math.round(LINES / Math.min(...rounds.map((round) => round[name])));
  return {
    benchmark: 'parser',
    date: new Date().toISOString(),
    machine: `${cpus()[0]?.model ?? 'unknown'}, ${cpus().length} cores, Node ${process.version}`,
    lines: LINES,
    chunk_bytes: CHUNK_BYTES,
    linesPerSecond: {
      parser: best('parser'),
      toReadings: best('toReadings'),
      readlineAndRegExp: best('readlineAndRegExp'),
    },
    rounds_s: rounds,
  };
}

function makeChunks(): Uint8Array[] {
  const random = seeded(1);
  const lines = Array.from({ length: LINES }, (_, i) =>
    benchLine({
      seq: i,
      t_us: i * 12_500,
      raw: Math.round(121_985 + 20 * i + 300 * random()),
      count: 1 + Math.floor(i / 8),
      edge_us: i * 12_500 - 4000,
      adc: 30_720,
    }),
  );
  const bytes = bytesOf(`${lines.join('\r\n')}\r\n`);
  return Array.from({ length: Math.ceil(bytes.length / CHUNK_BYTES) }, (_, i) =>
    bytes.subarray(i * CHUNK_BYTES, (i + 1) * CHUNK_BYTES),
  );
}

function parseAll(chunks: readonly Uint8Array[]): number {
  const splitter = new LineSplitter({ startsAtLine: true });
  let samples = 0;
  for (const bytes of chunks) {
    for (const raw of splitter.push({ arrival_s: 0, bytes })) {
      const sentence = parseBenchLine(raw.line);
      if (typeof sentence !== 'string' && sentence.kind === 'sample') samples += 1;
    }
  }
  return samples;
}

function decodeAll(chunks: readonly Uint8Array[]): number {
  const splitter = new LineSplitter({ startsAtLine: true });
  const decoder = createDecoder({
    kind: 'bench-board',
    kilogramsPerCount: 2.38e-6,
    countsAtZero: 0,
    averagedReadings: null,
    pulsesPerCubicMetre: 455_000,
    meterOffset_Hz: 0,
    pressureFullScale_Pa: 1_034_214,
  });
  let readings = 0;
  let arrival_s = 0;
  for (const bytes of chunks) {
    arrival_s += 0.0625;
    for (const raw of splitter.push({ arrival_s, bytes })) {
      for (const event of decoder.decode(raw)) if (event.kind === 'reading') readings += 1;
    }
  }
  return readings;
}

function readlineAll(chunks: readonly Uint8Array[]): Promise<number> {
  return new Promise((resolve, reject) => {
    const parser = new ReadlineParser({ delimiter: '\r\n' });
    let samples = 0;
    parser.on('data', (line: string) => {
      const found = SAMPLE.exec(line);
      if (found === null) return;
      // The fields as numbers, as ours gives them.
      const fields = found.slice(1, 7).map((field) => (field === '' ? null : Number(field)));
      if (fields.length === 6) samples += 1;
    });
    parser.on('end', () => resolve(samples));
    parser.on('error', reject);
    for (const bytes of chunks) parser.write(Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength));
    parser.end();
  });
}

function timed(work: () => number): number {
  const start = performance.now();
  check(work());
  return (performance.now() - start) / 1000;
}

async function timedAsync(work: () => Promise<number>): Promise<number> {
  const start = performance.now();
  check(await work());
  return (performance.now() - start) / 1000;
}

function check(samples: number): void {
  if (samples !== LINES)
    throw new Error(`read ${samples} of ${LINES} lines: the comparison would not be fair`);
}
