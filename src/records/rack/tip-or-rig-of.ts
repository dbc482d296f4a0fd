import { tellsOffset } from '../../analysis/curve/dial-zero.ts';
import type { Diagnosis } from '../../analysis/diagnosis/diagnosis.ts';
import { pressureLost_Pa } from '../../analysis/diagnosis/hose-loss.ts';
import { RATING_U } from '../../analysis/diagnosis/reference.ts';
import {
  pointsOfCurve,
  type MeasuredTip,
  type TipReference,
  type WandReading,
} from '../../analysis/tip-or-rig/measured-tip.ts';
import { tellTipFromRig, type TipOrRigInput } from '../../analysis/tip-or-rig/tell-tip-from-rig.ts';
import type { NoTipOrRig, TipOrRig } from '../../analysis/tip-or-rig/tip-or-rig.ts';
import { constantOfBaseline } from './baseline.ts';
import type { Book, BookRig, BookTip } from './book.ts';
import { diagnoseOnRig } from './diagnose-tip.ts';
import type { KeptSweep } from './kept-sweep.ts';
import { sweepsOnRig, type TipWeeks } from './tip-weeks.ts';

/** Sweeps and checks so long before the rig's newest sweep still speak of the rig as it is now. Judgement. */
const STILL_NOW_ms = 14 * 24 * 3600 * 1000;
/** Chance of so bad a fit, below which nothing is said of tips and rig. */
const NO_FIT = 0.001;
/** Of a maker's list: what all its tips are off by together, and each by itself; 2.5 % in all. Assumed, no source. */
const LIST_SHARED_U = 0.015;
/** What an estimate of a smooth hose leaves open: real ones have fittings and a strainer. Judgement. */
const LOSS_DOUBT = 0.5;

/**
 * What the tips of a rig, each by its newest sweep of the last two weeks there, say of the rig and of themselves. Held against their own
 * baselines on this rig where two or more have one (changes since that day), else against what is stamped on them (absolute).
 */
export function tipOrRigOf(
  rig: BookRig,
  book: Book,
  weeks: ReadonlyMap<string, ReadonlyMap<string, TipWeeks>>,
): TipOrRig | NoTipOrRig {
  const newest_ms = Math.max(
    ...rig.tips.map((key) => sweepsOnRig(book.tips.get(key)!, rig.key)[0]?.at_ms ?? -Infinity),
  );
  const measured = rig.tips.flatMap((key): Measured[] => {
    const tip = book.tips.get(key)!;
    const baseline = weeks.get(rig.key)?.get(key)?.baseline.sweeps ?? [];
    const sweep = sweepsOnRig(tip, rig.key).find(({ answer }) => answer.fitted !== null);
    if (sweep === undefined || tip.facts?.retired === true || newest_ms - sweep.at_ms > STILL_NOW_ms)
      return [];
    return [
      { tip, sweep, byBaseline: baselineReference(tip, sweep, baseline), byRating: ratedReference(sweep) },
    ];
  });
  const withBaseline = measured.filter(({ byBaseline }) => byBaseline !== null);
  const sinceThen = withBaseline.length >= 2;
  const tips = (sinceThen ? withBaseline : measured).map((one) => ({
    ...measuredTip(one, sinceThen),
    ...shownBy(diagnoseOnRig(one.tip, weeks, rig.key, newest_ms - STILL_NOW_ms)),
  }));
  const largest = measured.toSorted((a, b) => constantOf(b.sweep) - constantOf(a.sweep))[0];
  const loss = largest === undefined ? null : lossOf(largest.sweep);
  const dial = rig.checks.find(
    ({ found, at_ms }) => found.kind === 'dial-at-zero' && isNow(at_ms, newest_ms),
  );
  const told = tellTipFromRig({
    tips,
    dialReturns: measured[0]?.sweep.setup.rig.control === 'clicks-or-shows',
    wand: wandReadings(rig, measured, newest_ms),
    ...(dial?.found.kind === 'dial-at-zero' && tellsOffset(dial.found)
      ? {
          offset: {
            value_Pa: -dial.found.shown_Pa,
            standardUncertainty_Pa: dial.found.standardUncertainty_Pa,
          },
        }
      : {}),
    ...(loss === null ? {} : { lostAtLargest: loss }),
  });
  // Where the shared model does not fit, its numbers are none.
  if (!('fit' in told) || told.fit.pValue >= NO_FIT) return told;
  const { leftOut } = told;
  return { because: 'tips-and-rig-disagree', ...(leftOut === undefined ? {} : { leftOut }) };
}

/** A worn or restricted tip is in the model, and so is a dial that is off; a leak and a pump that gives out are not. */
function shownBy(diagnosis: Diagnosis | null): Pick<MeasuredTip, 'shows'> {
  if (diagnosis === null) return {};
  const { said, finding } = diagnosis;
  if (said === null) return { shows: 'unexplained' };
  const { cause } = finding;
  return cause === 'leaking' || cause === 'pump-limited' ? { shows: cause } : {};
}

interface Measured {
  readonly tip: BookTip;
  readonly sweep: KeptSweep;
  readonly byBaseline: TipReference | null;
  readonly byRating: TipReference | null;
}

function measuredTip({ tip, sweep, byBaseline, byRating }: Measured, sinceThen: boolean): MeasuredTip {
  const { curve } = sweep.answer.fitted!;
  return {
    key: tip.key,
    points: pointsOfCurve(curve),
    reference: sinceThen ? byBaseline : byRating,
    sharedRelativeStandardUncertainty: curve.sharedRelativeStandardUncertainty,
    sharedGroup: sweep.flows?.instrument ?? sweep.instrument,
    anchor: tip.facts?.drawer === true,
  };
}

/** Null for a sweep that is part of the baseline itself: it says nothing of what changed since. */
function baselineReference(
  tip: BookTip,
  sweep: KeptSweep,
  baseline: readonly KeptSweep[],
): TipReference | null {
  const found = baseline.includes(sweep) ? null : constantOfBaseline(baseline);
  if (found === null) return null;
  return {
    nozzleConstant_m3_per_s_per_sqrtPa: found.nozzleConstant_m3_per_s_per_sqrtPa,
    ownRelativeStandardUncertainty: found.own,
    sharedRelativeStandardUncertainty: found.shared,
    sharedGroup: `baseline ${baseline[0]!.flows?.instrument ?? ''}`,
    from: tip.facts?.drawer === true ? 'drawer-tip' : 'baseline',
    // The day that the baseline's own line names.
    at_ms: baseline.reduce((sum, { at_ms }) => sum + at_ms, 0) / baseline.length,
  };
}

function ratedReference({ setup }: KeptSweep): TipReference | null {
  const { ratedFlow_m3_per_s: flow, ratedPressure_Pa: pressure } = setup.tip;
  if (flow === null || pressure === null) return null;
  return {
    nozzleConstant_m3_per_s_per_sqrtPa: flow / Math.sqrt(pressure),
    ownRelativeStandardUncertainty: Math.sqrt(RATING_U ** 2 - LIST_SHARED_U ** 2),
    sharedRelativeStandardUncertainty: LIST_SHARED_U,
    sharedGroup: 'rated',
    from: 'rated',
    at_ms: null,
  };
}

function constantOf({ answer }: KeptSweep): number {
  return answer.fitted?.curve.nozzleConstant_m3_per_s_per_sqrtPa ?? 0;
}

/** At the highest setting of the tip that takes most, by what was told of the hose; null: not enough was told. */
function lossOf({ answer, setup }: KeptSweep): NonNullable<TipOrRigInput['lostAtLargest']> | null {
  const curve = answer.fitted?.curve;
  if (curve === undefined || setup.rig.plumbing === null) return null;
  const pressure_Pa = curve.highestPressure_Pa;
  const lost_Pa = pressureLost_Pa(
    setup.rig.plumbing,
    curve.nozzleConstant_m3_per_s_per_sqrtPa * Math.sqrt(pressure_Pa),
  );
  if (lost_Pa === null || lost_Pa < 0 || lost_Pa >= pressure_Pa) return null;
  const relative = lost_Pa / pressure_Pa;
  return { relative, standardUncertainty: LOSS_DOUBT * relative };
}

function wandReadings(
  rig: BookRig,
  measured: readonly Measured[],
  newest_ms: number,
): readonly WandReading[] {
  const setting_Pa = measured[0]?.sweep.setup.rig.settingStandardUncertainty_Pa ?? 0;
  return rig.checks.flatMap(({ found, at_ms }) =>
    found.kind !== 'wand-gauge' || !isNow(at_ms, newest_ms)
      ? []
      : [
          {
            setting_Pa: found.setting_Pa,
            wand_Pa: found.wand_Pa,
            standardUncertainty_Pa: found.standardUncertainty_Pa,
            settingStandardUncertainty_Pa: setting_Pa,
            tip: null,
          },
        ],
  );
}

function isNow(at_ms: number, newest_ms: number): boolean {
  return newest_ms - at_ms <= STILL_NOW_ms;
}
