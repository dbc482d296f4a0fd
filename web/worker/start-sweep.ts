import type { RigCheckFound } from '../../src/analysis/diagnosis/evidence.ts';
import { newestOfKind } from '../../src/analysis/diagnosis/newest-of-kind.ts';
import { rigCheckMark } from '../../src/analysis/diagnosis/rig-check-mark.ts';
import { ok, refused, type Outcome } from '../../src/base/outcome.ts';
import type { SweepRecord } from '../../src/records/bench-record.ts';
import { standing } from '../../src/records/standing.ts';
import { LiveSweep, type LiveSweepOptions } from '../../src/session/live-sweep.ts';
import { makeOrder, seededRandom } from '../../src/session/plan.ts';
import { routineLabels } from '../../src/session/routine/routine-order.ts';
import type { Sweep } from '../../src/session/sweep.ts';
import type { Announcement } from '../../src/session/prompt.ts';
import type { SweepSetup } from '../../src/session/sweep-setup.ts';
import { CaptureReader } from '../../src/signal/captures/read.ts';
import { captureHeaderText } from '../../src/signal/captures/write.ts';
import { captureHeaderOf, type CheckFacts } from './capture-header-of.ts';
import { isSameInstrument } from './device/same-instrument.ts';
import type { Source } from './device/source.ts';
import { readHeader } from './read-header.ts';
import { rigFoundToday } from './rig-found-today.ts';
import { newEnvelope } from './record-envelope.ts';
import { rigsReady } from './rigs-ready.ts';
import { RunningSweep } from './running-sweep.ts';
import type { BenchStore } from './storage/bench-store.ts';

/** Raw lines are kept for the running sweep and for so many before it; packed readings and records for ever. */
const RAW_SWEEPS_KEPT = 4;

export interface SweepEnvironment {
  readonly store: BenchStore;
  readonly announce: (announcement: Announcement, at_s: number) => void;
  readonly changed: () => void;
}

/** Keeps the set-up and begins. Storage trouble does not stop a sweep: it is shown, and measuring goes on in memory. */
export async function beginSweep(
  setup: SweepSetup,
  source: Source,
  environment: SweepEnvironment,
  checks: Partial<CheckFacts> = {},
  simulatedRigFound: readonly RigCheckFound[] = [],
): Promise<Outcome<RunningSweep>> {
  const { store } = environment;
  const envelope = newEnvelope(null, source.simulated);
  const startedAt = new Date(envelope.recordedAt_ms).toISOString();
  const known = await (await import('./rack/reference-for.ts')).referenceFor(store, setup, source.simulated);
  const header = captureHeaderOf(envelope.id, setup, source, startedAt, { ...checks, ...known });
  const order = makeOrder(setup, seededRandom(setup.orderSeed));
  const record: SweepRecord = {
    ...envelope,
    kind: 'sweep',
    setup,
    instrument: source.description,
    captureHeader: captureHeaderText(header),
    order_Pa: order,
    trueNozzleConstant_m3_per_s_per_sqrtPa: source.trueNozzleConstant_m3_per_s_per_sqrtPa,
  };
  const kept = await store.add(record);
  await store.pruneRaw(RAW_SWEEPS_KEPT, envelope.id);
  await rigsReady(header);
  const rigFound = source.simulated
    ? simulatedRigFound
    : await rigFoundToday(store, setup.rig.name, envelope.recordedAt_ms);
  const live = await sweepFor({ setup, header, order });
  const stream_s = source.now_s();
  const sweep = new RunningSweep({
    ...environment,
    live,
    setup,
    sweepId: envelope.id,
    origin_s: stream_s,
    earlierText: [],
    nextSequence: 0,
    simulated: source.simulated,
    trueNozzleConstant_m3_per_s_per_sqrtPa: source.trueNozzleConstant_m3_per_s_per_sqrtPa,
    conditions: source.conditions ?? null,
    faults: source.faults ?? null,
    trueNozzleShares: nozzleShares(setup, source),
    envelope: (replaces) => newEnvelope(envelope.id, source.simulated, replaces ?? null),
    keptCatches: [],
    notKept: kept.ok ? null : kept.because,
  });
  sweep.begin(stream_s);
  for (const found of newestOfKind(rigFound)) sweep.scaleChecked(rigCheckMark(found), stream_s);
  return ok(sweep);
}

/**
 * Takes up a kept sweep that was never finished, on the instrument that is open now; a simulated one brings its bench along.
 * Refused: `instrument-not-open`, `another-kind-of-instrument` (any difference from the one that wrote the kept lines),
 * `record-not-found` (also when catches are kept but their lines are gone: the plan could not go on where it stood).
 */
export async function takeUpSweep(
  sweepId: string,
  source: Source | null,
  environment: SweepEnvironment,
  openSimulatedLike: (record: SweepRecord) => Promise<Outcome<Source>>,
): Promise<Outcome<RunningSweep>> {
  const { store } = environment;
  const records = await store.records(sweepId);
  if (!records.ok) return records;
  const { sweep: record, catches } = standing(records.value);
  if (record === null) return refused('record-not-found', { sweepId });
  const text = await store.captureText(sweepId);
  const sequence = await store.nextSequence(sweepId);
  if (!text.ok) return text;
  if (!sequence.ok) return sequence;
  if (text.value.length === 0 && catches.length > 0) return refused('record-not-found', { sweepId });
  const header = readHeader(record.captureHeader);
  if (!header.ok) return header;
  const opened = record.simulated ? await openSimulatedLike(record) : realLike(record, source);
  if (!opened.ok) return opened;
  const bench = opened.value;

  const kept = { last_s: 0 };
  const reasons = records.value.filter((one) => one.kind === 'strike');
  await rigsReady(header.value);
  const live = await sweepFor({ setup: record.setup, header: header.value, order: record.order_Pa });
  const commands = live.restore((analyser) => {
    const reader = new CaptureReader({
      header: () => undefined,
      line: (arrival_s, line) => {
        kept.last_s = arrival_s;
        analyser.line(arrival_s, line);
      },
      mark: (at_s, mark) => {
        // A mark may name an earlier moment: a setting that was recognised belongs to the start of its water.
        kept.last_s = Math.max(kept.last_s, at_s);
        analyser.mark(at_s, mark);
      },
    });
    for (const piece of [record.captureHeader, ...text.value]) reader.push(piece);
    reader.finish();
    return kept.last_s + 1;
  }, reasons);
  const stream_s = bench.now_s();
  const sweep = new RunningSweep({
    ...environment,
    live,
    setup: record.setup,
    sweepId,
    // The capture's clock goes on one second after its last line: how long the computer was off is not the water's business.
    origin_s: stream_s - (kept.last_s + 1),
    earlierText: text.value,
    nextSequence: sequence.value,
    simulated: record.simulated,
    trueNozzleConstant_m3_per_s_per_sqrtPa: record.trueNozzleConstant_m3_per_s_per_sqrtPa,
    conditions: bench.conditions ?? null,
    faults: bench.faults ?? null,
    trueNozzleShares: nozzleShares(record.setup, bench),
    envelope: (replaces) => newEnvelope(sweepId, record.simulated, replaces ?? null),
    keptCatches: catches.map(({ record: { id, start_s } }) => ({ id, start_s })),
    notKept: null,
  });
  sweep.carryOut(commands, stream_s);
  return ok(sweep);
}

/** The open instrument, if the kept lines could be its own. */
function realLike(record: SweepRecord, source: Source | null): Outcome<Source> {
  if (source === null || source.simulated) return refused('instrument-not-open');
  return isSameInstrument(source.description, record.instrument)
    ? ok(source)
    : refused('another-kind-of-instrument');
}

function nozzleShares(setup: SweepSetup, source: Source): readonly number[] | null {
  if (setup.routine === null || source.nozzleShare === undefined) return null;
  const of = setup.routine.kind === 'boom' ? 'boom' : 'tips';
  return routineLabels(setup).map((_, index) => source.nozzleShare!({ of, index }));
}

/** The sweep that goes with how its settings follow each other; the one less often wanted is loaded when it is. */
async function sweepFor(options: LiveSweepOptions): Promise<Sweep> {
  if (options.setup.protocol === 'each-catch') return new LiveSweep(options);
  const { OnePourSweep } = await import('../../src/session/one-pour/one-pour-sweep.ts');
  return new OnePourSweep(options);
}
