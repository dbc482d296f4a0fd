import type { Warning } from '../../base/because.ts';
import type { BenchRecord } from '../bench-record.ts';
import { referenceOfBaseline } from './baseline.ts';
import { keyOf, readBook, type Book, type BookMemo, type BookRig, type BookTip } from './book.ts';
import { diagnoseTip } from './diagnose-tip.ts';
import type { KeptSweep } from './kept-sweep.ts';
import type { RackCurve, RackRig, RackSweep, RackTip, RackView } from './rack-view.ts';
import { tipOrRigOf } from './tip-or-rig-of.ts';
import { tipWeeks, type TipWeeks } from './tip-weeks.ts';

export interface RackOptions {
  /** Flow over the baseline at which a tip counts as worn, for the forecast; 1.10 if left out. */
  readonly limitRatio?: number;
  /** Records that could not be read. */
  readonly unreadable?: number;
  /** Sweeps read an earlier time, so that only what is new is computed. */
  readonly memo?: BookMemo;
}

/**
 * All records of the kinds of `kindsOfTheRack`, in any order → every tip and rig of the book, by the present estimators. Pure; simulated
 * tips and rigs stand beside measured ones and never lend them anything. Tips by name.
 */
export function assembleRack(records: readonly BenchRecord[], options: RackOptions = {}): RackView {
  const book = readBook(records, options.memo);
  const weeks = tipWeeks(book, options.limitRatio);
  const tips = [...book.tips.values()].map((tip) => rackTip(tip, weeks)).toSorted(byName);
  return {
    tips,
    rigs: [...book.rigs.values()].map((rig) => rackRig(rig, book, weeks)).toSorted(byName),
    unreadable: options.unreadable ?? 0,
  };
}

type Weeks = ReturnType<typeof tipWeeks>;

function rackTip(tip: BookTip, weeks: Weeks): RackTip {
  const { key, name, simulated, facts, sweeps } = tip;
  const newest = sweeps[0];
  const rigName = newest?.setup.rig.name ?? tip.caughtAgainst[0]?.rigName ?? '';
  const here: TipWeeks | null =
    newest === undefined ? null : (weeks.get(keyOf(rigName, simulated))?.get(key) ?? null);
  const baselineSweeps = here?.baseline.sweeps ?? null;
  const baseline = baselineSweeps === null ? null : referenceOfBaseline(baselineSweeps, rigName);
  const diagnosed = diagnoseTip(tip, weeks);
  const rated = sweeps.find(({ setup }) => setup.tip.ratedFlow_m3_per_s !== null)?.setup.tip;
  const warnings = new Set<Warning>(here?.baseline.warnings);
  for (const warning of here?.chart?.warnings ?? []) warnings.add(warning);
  return {
    key,
    name,
    simulated,
    rigName,
    isoSize: facts?.isoSize ?? null,
    drawer: facts?.drawer ?? false,
    retired: facts?.retired ?? false,
    note: facts?.note ?? '',
    baselineSweepIds: facts?.baselineSweepIds ?? null,
    ratedFlow_m3_per_s: rated?.ratedFlow_m3_per_s ?? null,
    ratedPressure_Pa: rated?.ratedPressure_Pa ?? null,
    sweeps: sweeps.map(rackSweep),
    ...(tip.notThisTip.length === 0 ? {} : { notThisTip: tip.notThisTip.map(rackSweep) }),
    ...(tip.caughtAgainst.length === 0 ? {} : { caughtAgainst: tip.caughtAgainst }),
    curve: curveOf(sweeps),
    baseline,
    baselineBecause: baseline === null ? (here?.baseline.because ?? 'no-baseline') : null,
    diagnosis: diagnosed.diagnosis,
    diagnosisBecause: diagnosed.because,
    settledBy: diagnosed.settledBy,
    drift: here?.chart ?? null,
    driftBecause:
      here?.chart == null
        ? (here?.baseline.because ?? (baseline === null ? 'no-baseline' : 'no-check-yet'))
        : null,
    warnings: [...warnings],
  };
}

function rackSweep(sweep: KeptSweep): RackSweep {
  const { picture } = sweep.answer;
  return {
    sweepId: sweep.sweepId,
    at_ms: sweep.at_ms,
    timeZone: sweep.timeZone,
    rigName: sweep.setup.rig.name,
    occasion: sweep.setup.occasion,
    timedByHand: sweep.timedByHand,
    catches: sweep.catches.filter(isGood).length,
    nozzleConstant_m3_per_s_per_sqrtPa: picture?.curve.nozzleConstant_m3_per_s_per_sqrtPa ?? null,
    nozzleConstantExpanded95_m3_per_s_per_sqrtPa:
      picture?.nozzleConstantExpanded95_m3_per_s_per_sqrtPa ?? null,
    settings: picture?.settings ?? [],
  };
}

/** Catches whose flow counts. */
function isGood({ struck, voidBecause, flow_m3_per_s }: KeptSweep['catches'][number]): boolean {
  return !struck && voidBecause === null && flow_m3_per_s !== null;
}

/** Of the newest sweep with two settings or more; else of none. */
export function curveOf(sweeps: readonly KeptSweep[]): RackCurve | null {
  for (const { sweepId, answer } of sweeps) {
    const { picture } = answer;
    if (picture === null || picture.settings.length < 2) continue;
    const { pressures_Pa, flow_m3_per_s, bandHalfWidth_m3_per_s, settings } = picture;
    return { sweepId, pressures_Pa, flow_m3_per_s, bandHalfWidth_m3_per_s, settings };
  }
  return null;
}

function rackRig(rig: BookRig, book: Book, weeks: Weeks): RackRig {
  const { key, name, simulated, tips, checks } = rig;
  return { key, name, simulated, tips, checks, tipOrRig: tipOrRigOf(rig, book, weeks) };
}

function byName(
  a: { readonly name: string; readonly key: string },
  b: { readonly name: string; readonly key: string },
): number {
  return a.name.localeCompare(b.name, 'en') || (a.key < b.key ? -1 : 1);
}
