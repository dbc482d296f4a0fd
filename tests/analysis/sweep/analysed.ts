import { allRigReaders } from '../../../src/analysis/rigs/all-rig-readers.ts';
import { provideRigReaders } from '../../../src/analysis/rigs/rig-readers.ts';
import { CaptureAnalyser } from '../../../src/analysis/sweep/capture-analyser.ts';
import type { AnalysedCapture } from '../../../src/analysis/sweep/capture-analyser.ts';
import { CaptureReader } from '../../../src/signal/captures/read.ts';
import { Random } from '../../../src/simulation/random.ts';

provideRigReaders(allRigReaders);

/** A capture's text through reader and analyser, in pieces of `pieceLength` characters. */
export function analysed(text: string, pieceLength = 1 << 16): AnalysedCapture {
  const analyser = new CaptureAnalyser();
  const reader = new CaptureReader(analyser);
  for (let at = 0; at < text.length; at += pieceLength) {
    const pushed = reader.push(text.slice(at, at + pieceLength));
    if (!pushed.ok) throw new Error(pushed.because);
  }
  const summary = reader.finish();
  if (!summary.ok) throw new Error(summary.because);
  return analyser.finish('test.txt', summary.value);
}

export interface Pour {
  readonly start_s: number;
  readonly stop_s: number;
  readonly flow_g_per_s: number;
}

export interface ScaleScript {
  readonly header?: Readonly<Record<string, string>>;
  readonly pours: readonly Pour[];
  /** Mark texts without the `!`, by time. */
  readonly marks?: readonly (readonly [number, string])[];
  readonly until_s: number;
  readonly seed?: number;
  readonly rate_Hz?: number;
  readonly averaged?: number;
  /** How a mass in grams stands on a line. */
  readonly print?: (grams: number) => string;
  /** Pushes and lifts: grams to add at a time. */
  readonly extra?: (t: number) => number;
  /** Replaces the whole line at a time, or drops it (null). */
  readonly replace?: (t: number, line: string) => string | null;
}

const usualHeader = {
  instrument: 'scale',
  waterTemperature_degC: '20',
  averagedReadings: '1',
  scaleFactorFrom: 'mass-pieces',
  settingStandardUncertainty_Pa: '10342',
  wand: 'guided',
};

/** A capture written by hand from pours of steady flow, 0.3 g of white noise, seeded; 500 g of pail. */
export function scaleCapture(script: ScaleScript): string {
  const random = new Random(script.seed ?? 1);
  const rate = script.rate_Hz ?? 10;
  const print = script.print ?? ((grams: number) => `${grams.toFixed(1).padStart(8)} g`);
  const lines: { at_s: number; text: string }[] = (script.marks ?? []).map(([at_s, mark]) => ({
    at_s,
    text: `!${mark}`,
  }));
  const raw: number[] = [];
  for (let i = 0; i <= script.until_s * rate; i++) {
    const t = i / rate;
    let grams = 500 + (script.extra?.(t) ?? 0);
    for (const { start_s, stop_s, flow_g_per_s } of script.pours) {
      grams += flow_g_per_s * Math.min(Math.max(t - start_s, 0), stop_s - start_s);
      if (t > start_s && t < stop_s) grams += 5;
    }
    raw.push(grams + 0.3 * random.normal());
    const last = raw.slice(-(script.averaged ?? 1));
    const line = print(last.reduce((a, b) => a + b) / last.length);
    const text = script.replace === undefined ? line : script.replace(t, line);
    if (text !== null) lines.push({ at_s: t + random.uniform(0.001, 0.01), text });
  }
  lines.sort((a, b) => a.at_s - b.at_s);
  const header = Object.entries({ ...usualHeader, ...script.header })
    .filter(([, value]) => value !== '')
    .map(([key, value]) => `# ${key}: ${value}\n`);
  return `#catchbench-capture 1\n${header.join('')}${lines.map(({ at_s, text }) => `${at_s.toFixed(4)}\t${text}\n`).join('')}`;
}

/** `count` pours of 20 s every 35 s, the first at 8 s. */
export function pours(count: number, flow_g_per_s: number | ((i: number) => number)): Pour[] {
  return Array.from({ length: count }, (_, i) => ({
    start_s: 8 + 35 * i,
    stop_s: 28 + 35 * i,
    flow_g_per_s: typeof flow_g_per_s === 'number' ? flow_g_per_s : flow_g_per_s(i),
  }));
}
