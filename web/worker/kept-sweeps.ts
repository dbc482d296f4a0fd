import { ok, refused, type Outcome } from '../../src/base/outcome.ts';
import { standing } from '../../src/records/standing.ts';
import type { AnalysedFile, SweepSetup } from '../contract.ts';
import { analyseColumns } from './analyse-columns.ts';
import { analyseText } from './analyse-text.ts';
import { analyseHandTimed } from './by-hand.ts';
import type { BenchStore } from './storage/bench-store.ts';

/**
 * A kept sweep, recomputed by the present estimators: from its raw lines, or from the packed readings
 * of its catches when the lines were let go of.
 */
export async function openKept(
  store: BenchStore,
  sweepId: string,
): Promise<Outcome<AnalysedFile & { readonly setup: SweepSetup }>> {
  const records = await store.records(sweepId);
  if (!records.ok) return records;
  const { sweep, byHand, catches, end } = standing(records.value);
  if (byHand !== null) {
    const file = analyseHandTimed(byHand.setup, byHand.catches);
    return file.ok ? ok({ ...file.value, setup: byHand.setup }) : file;
  }
  if (sweep === null) return refused('record-not-found', { sweepId });
  const text = await store.captureText(sweepId);
  if (!text.ok) return text;
  const file =
    text.value.length > 0 || catches.length === 0
      ? await analyseText(sweep.setup.tip.name, [sweep.captureHeader, ...text.value])
      : await analyseColumns(store, sweep, catches, end?.marks ?? null);
  return file.ok ? ok({ ...file.value, setup: sweep.setup }) : file;
}

/** The kept sweep as a capture file; `record-not-found` when its raw lines were let go of.
 */
export async function keptCapture(
  store: BenchStore,
  sweepId: string,
): Promise<Outcome<{ readonly name: string; readonly text: string }>> {
  const records = await store.records(sweepId);
  if (!records.ok) return records;
  const { sweep } = standing(records.value);
  if (sweep === null) return refused('record-not-found', { sweepId });
  const text = await store.captureText(sweepId);
  if (!text.ok) return text;
  if (text.value.length === 0) return refused('record-not-found', { sweepId });
  return ok({
    name: captureName(sweep.recordedAt_ms, sweepId),
    text: sweep.captureHeader + text.value.join(''),
  });
}

/** A name that sorts by day and never holds what a person typed. */
export function captureName(startedAt_ms: number, sweepId: string): string {
  return `catchbench-${new Date(startedAt_ms).toISOString().slice(0, 10)}-${sweepId.slice(-6)}.txt`;
}
