import { spawn } from 'node:child_process';
import { createWriteStream, mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { once } from 'node:events';
import { sealBenchSentence } from '../../src/signal/lines/crc16.ts';
import { Random } from '../../src/simulation/random.ts';

const RATE_Hz = 80;
const HOUR_s = 3600;
const FILL_s = 30;
const CYCLE_s = 60;
const KG_PER_COUNT = 2.38e-6;

/**
 * `npm run benchmark -- analyse-hour`: seconds and peak memory of `npm run -s analyse` on one hour of a bench board at 80 readings a
 * second (288 000 lines, a fill a minute, the pail emptied every five), in a process of its own.
 */
export async function run(): Promise<unknown> {
  const folder = mkdtempSync(join(tmpdir(), 'catchbench-hour-'));
  try {
    const path = join(folder, 'hour.txt');
    const lines = await writeHour(path);
    const began = performance.now();
    const { peak_bytes, analysis } = await analysed(path);
    const took_s = (performance.now() - began) / 1000;
    return {
      lines,
      size_bytes: statSync(path).size,
      took_s,
      linesPerSecond: lines / took_s,
      peakMemory_bytes: peak_bytes,
      readings: analysis.readings,
      catches: analysis.catches.length,
      good: analysis.catches.filter((c) => c.voidBecause === null).length,
    };
  } finally {
    rmSync(folder, { recursive: true });
  }
}

async function writeHour(path: string): Promise<number> {
  const random = new Random(80);
  const out = createWriteStream(path);
  out.write(
    '#catchbench-capture 1\n# instrument: bench-board\n# gramsPerCount: 0.00238\n# simulated: true\n',
  );
  let lines = 0;
  for (let i = 0; i < RATE_Hz * HOUR_s; i++) {
    const t = i / RATE_Hz;
    const cycle = Math.floor(t / CYCLE_s);
    const into_s = t - cycle * CYCLE_s;
    const running_s = Math.min(Math.max(into_s - 10, 0), FILL_s);
    const away = cycle % 5 === 4 && into_s > 48 && into_s < 54;
    const water_kg = 0.025 * (FILL_s * (cycle % 5) + running_s) * (cycle % 5 === 4 && into_s >= 54 ? 0 : 1);
    const push_kg = running_s > 0 && running_s < FILL_s ? 0.01 : 0;
    const mass_kg = away ? 0 : 0.5 + water_kg + push_kg + 0.0008 * random.normal();
    const t_us = Math.round(t * 1e6 * 1.002) % 2 ** 32;
    const raw = Math.round(mass_kg / KG_PER_COUNT);
    const line = sealBenchSentence(`S,${i % 65536},${t_us},${raw},0,,,00`);
    const arrival_s = Math.ceil((t + 0.003) / 0.016) * 0.016;
    lines++;
    if (!out.write(`${arrival_s.toFixed(4)}\t${line}\n`)) await once(out, 'drain');
  }
  out.end();
  await once(out, 'finish');
  return lines;
}

interface Answer {
  readonly readings: number;
  readonly catches: readonly { readonly voidBecause: string | null }[];
}

/** The command as a person runs it; the program itself tells its peak (maxRSS) when it ends. */
async function analysed(path: string): Promise<{ readonly peak_bytes: number; readonly analysis: Answer }> {
  const tell = `process.on('exit', () => process.stderr.write('PEAK ' + process.resourceUsage().maxRSS))`;
  const program = spawn(
    process.execPath,
    ['--import', `data:text/javascript,${encodeURIComponent(tell)}`, '.config/terminal.mjs', 'analyse', path],
    { stdio: ['ignore', 'pipe', 'pipe'] },
  );
  let printed = '';
  let told = '';
  program.stdout.on('data', (piece: Buffer) => (printed += piece.toString()));
  program.stderr.on('data', (piece: Buffer) => (told += piece.toString()));
  const [code] = (await once(program, 'close')) as [number];
  const peak = /PEAK (\d+)/.exec(told)?.[1];
  if (code !== 0 || peak === undefined) throw new Error(`analyse ended with ${code}: ${told}`);
  return { peak_bytes: Number(peak) * 1024, analysis: JSON.parse(printed) as Answer };
}
