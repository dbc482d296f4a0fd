import { CaptureAnalyser } from '../../src/analysis/sweep/capture-analyser.ts';
import { ok, type Outcome } from '../../src/base/outcome.ts';
import type { SweepRecord } from '../../src/records/bench-record.ts';
import { mergeColumns } from '../../src/records/columns/merge-columns.ts';
import { unpackColumns } from '../../src/records/columns/pack-columns.ts';
import type { ReadingColumns } from '../../src/records/columns/reading-columns.ts';
import type { StandingCatch } from '../../src/records/standing.ts';
import type { AnalysedFile } from '../contract.ts';
import { parseMark, type CaptureMark } from '../../src/signal/captures/mark.ts';
import { shown } from './analyse-text.ts';
import { readHeader } from './read-header.ts';
import { rigsReady } from './rigs-ready.ts';
import type { BenchStore } from './storage/bench-store.ts';

/**
 * A sweep whose raw lines were let go of, from the packed readings round each catch: strikes come from the records, all else that was
 * marked from the sweep's end (`marks`; null: an old record, whose catches tell their settings). Refused lines and what lay between the
 * catches are not known any more.
 */
export async function analyseColumns(
  store: BenchStore,
  sweep: SweepRecord,
  catches: readonly StandingCatch[],
  marks: string | null,
): Promise<Outcome<AnalysedFile>> {
  const header = readHeader(sweep.captureHeader);
  if (!header.ok) return header;
  const windows: ReadingColumns[] = [];
  for (const { record } of catches) {
    const packed = await store.columns(record.id);
    if (!packed.ok) return packed;
    const columns = unpackColumns(packed.value);
    if (!columns.ok) return columns;
    windows.push(columns.value);
  }
  await rigsReady(header.value);
  const analyser = new CaptureAnalyser();
  analyser.header(header.value);
  if (marks === null) {
    for (const { record } of catches) {
      if (record.setting_Pa === null) continue;
      analyser.mark(record.start_s, { kind: 'setting', pressure_Pa: record.setting_Pa });
    }
  } else for (const { at_s, mark } of marksIn(marks)) analyser.mark(at_s, mark);
  for (const { strike } of catches)
    if (strike !== null) analyser.mark(strike.start_s, { kind: 'struck', start_s: strike.start_s });
  const { readings, gapBefore } = mergeColumns(windows);
  const apart = new Set(gapBefore);
  readings.forEach((reading, i) => analyser.reading(reading, apart.has(i)));
  return ok(await shown(sweep.setup.tip.name, analyser.finish(sweep.setup.tip.name)));
}

/** Strikes are records of their own and may be younger than the sweep's end; where readings break off their columns tell. */
const toldElsewhere: ReadonlySet<CaptureMark['kind']> = new Set(['struck', 'undo-struck', 'gap', 'note']);

function marksIn(text: string): { readonly at_s: number; readonly mark: CaptureMark }[] {
  return text
    .split('\n')
    .filter((line) => line !== '')
    .map((line) => {
      const tab = line.indexOf('\t');
      return { at_s: Number(line.slice(0, tab)), mark: parseMark(line.slice(tab + 1)) };
    })
    .filter(({ at_s, mark }) => Number.isFinite(at_s) && !toldElsewhere.has(mark.kind));
}
