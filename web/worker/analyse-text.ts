import { CaptureAnalyser, type AnalysedCapture } from '../../src/analysis/sweep/capture-analyser.ts';
import { ok, refused, type Outcome } from '../../src/base/outcome.ts';
import { CaptureReader } from '../../src/signal/captures/read.ts';
import type { CaptureHeader } from '../../src/signal/captures/header.ts';
import type { AnalysedFile, TraceBatch } from '../contract.ts';
import { budgetsOf } from './budgets-of.ts';
import { rigsReady } from './rigs-ready.ts';

/** Points of a decimated trace: enough for any screen, few enough for any page. */
const TRACE_BINS = 2000;

/** A capture's text, in pieces, to what the screen shows of it. Refuses what is no capture, with the reason. */
export async function analyseText(
  name: string,
  pieces: Iterable<string> | AsyncIterable<string>,
): Promise<Outcome<AnalysedFile>> {
  const analyser = new CaptureAnalyser();
  let tipName: string | null = null;
  let about: CaptureHeader | null = null;
  const reader = new CaptureReader({
    header(header) {
      tipName = header.tip ?? null;
      about = header;
      analyser.header(header);
    },
    line: (arrival_s, line) => analyser.line(arrival_s, line),
    mark: (at_s, mark) => analyser.mark(at_s, mark),
  });
  try {
    for await (const piece of pieces) {
      const pushed = reader.push(piece);
      if (!pushed.ok) return pushed;
    }
  } catch {
    // It was there when it was chosen and is gone now: a stick pulled out, a file renamed.
    return refused('file-not-found');
  }
  const finished = reader.finish();
  if (!finished.ok) return finished;
  await rigsReady(about);
  return ok(await shown(tipName, analyser.finish(name, finished.value)));
}

/** A file's text, piece by piece as it is read. */
export async function* textOf(file: Blob): AsyncGenerator<string> {
  const reader = file.stream().getReader();
  const decoder = new TextDecoder();
  for (;;) {
    const { value, done } = await reader.read();
    if (done) break;
    yield decoder.decode(value, { stream: true });
  }
  yield decoder.decode();
}

/** An analysis with its trace, as the page takes it. */
export async function shown(
  tipName: string | null,
  { analysis, picture, budgetFacts, readings, rig, diagnosis, labels, several }: AnalysedCapture,
): Promise<AnalysedFile> {
  const budgets = await budgetsOf(budgetFacts);
  const trace = decimate(readings.time_s, readings.mass_kg);
  const ofSeveral = labels.some((label) => label !== null) ? { labels, several } : {};
  return { tipName, analysis, picture, budgets, trace, rig, diagnosis, ...ofSeveral };
}

/** Lowest and highest mass of each bin, in the order they came, so that no bump is lost. */
export function decimate(time_s: Float64Array, mass_kg: Float64Array, bins = TRACE_BINS): TraceBatch {
  const n = time_s.length;
  if (n <= 2 * bins) return { restart: true, time_s: time_s.slice(), mass_kg: mass_kg.slice() };
  const times: number[] = [];
  const masses: number[] = [];
  for (let bin = 0; bin < bins; bin += 1) {
    const from = Math.floor((bin * n) / bins);
    const to = Math.floor(((bin + 1) * n) / bins);
    let low = from;
    let high = from;
    for (let i = from; i < to; i += 1) {
      if (mass_kg[i]! < mass_kg[low]! || Number.isNaN(mass_kg[low])) low = i;
      if (mass_kg[i]! > mass_kg[high]! || Number.isNaN(mass_kg[high])) high = i;
    }
    for (const i of low === high ? [low] : [Math.min(low, high), Math.max(low, high)]) {
      times.push(time_s[i]!);
      masses.push(mass_kg[i]!);
    }
  }
  return { restart: true, time_s: Float64Array.from(times), mass_kg: Float64Array.from(masses) };
}
