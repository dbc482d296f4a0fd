import { analyseByHand } from '../../src/analysis/sweep/analyse-by-hand.ts';
import { estimatorVersion } from '../../src/analysis/sweep/estimator-version.ts';
import { ok, type Outcome } from '../../src/base/outcome.ts';
import type { ByHandSweepRecord } from '../../src/records/bench-record.ts';
import { shownResult } from '../../src/records/shown-result.ts';
import { checkSetup } from '../../src/session/plan.ts';
import type { SweepSetup } from '../../src/session/sweep-setup.ts';
import type { AnalysedFile, HandCatch, KeptByHand } from '../contract.ts';
import { newEnvelope } from './record-envelope.ts';
import type { BenchStore } from './storage/bench-store.ts';

/** Catches timed by thumb, with their own honest ±; there is no trace to show. */
export function analyseHandTimed(setup: SweepSetup, catches: readonly HandCatch[]): Outcome<AnalysedFile> {
  const analysed = analyseByHand({
    name: setup.tip.name,
    estimatorVersion,
    catches,
    protocol: setup.rig.control === 'turns-freely' ? 're-set' : 'set-once',
    settingStandardUncertainty_Pa: setup.rig.settingStandardUncertainty_Pa,
    tip: setup.tip,
    known: setup.rig.plumbing === null ? {} : { plumbing: setup.rig.plumbing },
  });
  if (!analysed.ok) return analysed;
  const trace = { restart: true, time_s: new Float64Array(), mass_kg: new Float64Array() };
  return ok({ tipName: setup.tip.name, ...analysed.value, trace });
}

/** A growing sweep is one sweep: each keeping is a new record that names the one before it. */
export async function keepHandTimed(
  store: BenchStore,
  setup: SweepSetup,
  catches: readonly HandCatch[],
  earlier: KeptByHand | null,
): Promise<Outcome<KeptByHand>> {
  const checked = checkSetup(setup);
  if (!checked.ok) return checked;
  const analysed = analyseHandTimed(setup, catches);
  if (!analysed.ok) return analysed;
  const { analysis, picture } = analysed.value;
  const record: ByHandSweepRecord = {
    ...newEnvelope(earlier?.sweepId ?? null, false, earlier?.recordId ?? null),
    kind: 'by-hand-sweep',
    setup,
    catches,
    shown: shownResult(analysis, picture),
  };
  const kept = await store.add(record);
  return kept.ok ? ok({ sweepId: record.sweepId, recordId: record.id }) : kept;
}
