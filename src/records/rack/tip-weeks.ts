import { driftOfRig, type TipHistory } from '../../analysis/drift/drift-of-rig.ts';
import type { DriftChart } from '../../analysis/drift/drift.ts';
import { baselineOf, type FoundBaseline } from './baseline.ts';
import { keyOf, type Book, type BookRig, type BookTip } from './book.ts';
import type { KeptSweep } from './kept-sweep.ts';

/** A tip on one rig: its baseline there, and its chart. */
export interface TipWeeks {
  readonly baseline: FoundBaseline;
  /** Null: no baseline, or no check since. */
  readonly chart: DriftChart | null;
}

/** Of every rig, by key, of every tip that was measured on it, by key. */
export function tipWeeks(
  book: Book,
  limitRatio: number | undefined,
): ReadonlyMap<string, ReadonlyMap<string, TipWeeks>> {
  const options = limitRatio === undefined ? {} : { limitRatio };
  return new Map(
    [...book.rigs].map(([rigKey, rig]) => {
      const tips = rig.tips.map((key) => book.tips.get(key)!);
      const found = tips.map((tip) => ({ tip, baseline: baselineOnRig(tip, rig) }));
      const histories = found.flatMap(({ tip, baseline }) => historyOf(tip, rig, baseline));
      const charts = driftOfRig(histories, options);
      return [
        rigKey,
        new Map(
          found.map(({ tip, baseline }) => [tip.key, { baseline, chart: charts.get(tip.key) ?? null }]),
        ),
      ];
    }),
  );
}

export function sweepsOnRig(tip: Pick<BookTip, 'sweeps'>, rigKey: string): readonly KeptSweep[] {
  return tip.sweeps.filter(({ setup, simulated }) => keyOf(setup.rig.name, simulated) === rigKey);
}

export function baselineOnRig(tip: BookTip, rig: Pick<BookRig, 'key'>): FoundBaseline {
  return baselineOf(sweepsOnRig(tip, rig.key), tip.facts?.baselineSweepIds ?? null);
}

/** What came after the baseline's first sweep and is no part of it; what was measured before is another tip's wear, or none. */
function historyOf(tip: BookTip, rig: BookRig, { sweeps }: FoundBaseline): readonly TipHistory[] {
  if (sweeps === null) return [];
  const answers = new Map(tip.facts?.answered?.map(({ sweepId, isThisTip }) => [sweepId, isThisTip]));
  const first_ms = sweeps[0]!.at_ms;
  // Those of another tip are points that do not count.
  const all = [...sweepsOnRig(tip, rig.key), ...sweepsOnRig({ sweeps: tip.notThisTip }, rig.key)];
  const checks = all.flatMap((sweep) => {
    const { flows, sweepId, at_ms } = sweep;
    if (flows === null || at_ms <= first_ms || sweeps.includes(sweep)) return [];
    return [{ ...flows, isThisTip: answers.get(sweepId) ?? null }];
  });
  const baseline = sweeps.flatMap(({ flows }) => flows ?? []);
  return checks.length === 0 ? [] : [{ key: tip.key, baseline, checks }];
}
