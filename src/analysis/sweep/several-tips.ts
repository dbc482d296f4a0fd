import type { Because } from '../../base/because.ts';
import type { CaptureHeader } from '../../signal/captures/header.ts';
import { compareAlternated, type AlternatedCatch } from '../comparison/alternated.ts';
import { compareSet, type SetInput } from '../comparison/compare-set.ts';
import { USUAL_HABIT } from '../comparison/habits.ts';
import type { Ratio, SetCompared } from '../comparison/tips-compared.ts';
import { ownUncertainty } from '../flow/catch-uncertainty.ts';
import type { AnalysedCatch } from './analysis.ts';
import { tipAt, tipChangedIn, type TimedMark } from './marks.ts';
import { voidCatch } from './void-catch.ts';

/** What a capture with several tips (or positions of a boom) says of them, beside the documented analysis. */
export type SeveralTips =
  | {
      readonly kind: 'two';
      /** ratio = `tip` over `against`; `against` is the one that came first. Labels are typed text, untrusted. */
      readonly tip: string;
      readonly against: string;
      readonly compared: Ratio | null;
      readonly comparedBecause: Because | null;
      /** Relative standard deviation of one catch as the repeats show it; null where they can't. */
      readonly catchStandardDeviation: number | null;
      /** Flow gained from the first catch to the last, relative, and its 95 % half-width; null where it was not estimated. */
      readonly drift: { readonly relative: number; readonly expandedUncertainty95: number } | null;
    }
  | {
      readonly kind: 'set';
      readonly compared: SetCompared | null;
      readonly comparedBecause: Because | null;
    };

/** A catch whose tip was changed while it ran is void: its water is of two. */
export function voidIfTipChanged(caught: AnalysedCatch, marks: readonly TimedMark[]): AnalysedCatch {
  if (caught.voidBecause !== null || !tipChangedIn(marks, caught.start_s, caught.stop_s)) return caught;
  const { setting_Pa, settingBecause = 'none-announced', pour, struck, warnings } = caught;
  return voidCatch(
    caught,
    { setting_Pa, settingBecause, pour, struck },
    'tip-changed-while-spraying',
    warnings,
  );
}

/** Label of each catch, by the last `!tip` mark up to half a second after its start; null where nobody said, or the tip was changed in it. */
export function labelsOf(
  catches: readonly AnalysedCatch[],
  marks: readonly TimedMark[],
): readonly (string | null)[] {
  return catches.map(({ start_s, voidBecause }) =>
    voidBecause === 'tip-changed-while-spraying' ? null : tipAt(marks, start_s),
  );
}

/**
 * What is told of the tips: null unless good catches of two or more labels are there. Two labels are held against each other (the later
 * over the first, whatever drifted evenly taken out); three or more, or a capture whose header says that it is of a boom, each against the mean of all.
 * `labels` goes with `catches`. One instrument, one water, one setting: what all catches share cancels and is in none of these ±. Of catches
 * at several settings the flows are brought to one pressure by the square root where a sensor read every one; else nothing is compared.
 */
export function severalTips(
  catches: readonly AnalysedCatch[],
  labels: readonly (string | null)[],
  about: Pick<CaptureHeader, 'routine'>,
): SeveralTips | null {
  const good = catches.flatMap<Good>((caught, i) => {
    const label = labels[i] ?? null;
    const counts = !caught.struck && caught.voidBecause === null && caught.flow_m3_per_s !== null;
    return counts && label !== null ? [{ label, ...asCompared(caught) }] : [];
  });
  const [first, second, ...more] = [...new Set(good.map(({ label }) => label))];
  if (first === undefined || second === undefined) return null;
  const isSet = more.length > 0 || about.routine === 'boom' || about.routine === 'bag';
  const isOneSetting = new Set(good.map(({ setting_Pa }) => setting_Pa)).size === 1;
  const read = good.filter(isRead);
  if (!isOneSetting && read.length < good.length) {
    const nothing = { compared: null, comparedBecause: 'tips-at-several-settings' } as const;
    return isSet
      ? { kind: 'set', ...nothing }
      : { kind: 'two', tip: second, against: first, ...nothing, catchStandardDeviation: null, drift: null };
  }
  if (isSet) {
    const alike = isOneSetting ? good : atOnePressure(read);
    const set = compareSet(setOf(alike, about.routine === 'boom'));
    return {
      kind: 'set',
      compared: set.ok ? set.value : null,
      comparedBecause: set.ok ? null : set.because,
    };
  }
  const two = compareAlternated(good.map((one) => ({ ...one, label: one.label === first ? 'B' : 'A' })));
  return {
    kind: 'two',
    tip: second,
    against: first,
    compared: two.ok ? two.value.compared : null,
    comparedBecause: two.ok ? null : two.because,
    catchStandardDeviation: two.ok ? two.value.catchStandardDeviation : null,
    drift: two.ok ? two.value.drift : null,
  };
}

/** A level is never quite one: cos 3° is 0.14 % less, and somewhere between that and nothing is a rectangle. */
const PLACED_ANEW_RELATIVE = 0.0014 / 2 / Math.sqrt(3);

type Labelled = AlternatedCatch & { readonly sharedRelative: number; readonly setting_Pa: number | null };
type Good = Omit<Labelled, 'label'> & { readonly label: string };
type Read = Good & { readonly pressure_Pa: number };

function isRead(one: Good): one is Read {
  return one.pressure_Pa !== undefined && one.pressure_Pa > 0;
}

/** Flows at the mean pressure of all, by the square root. */
function atOnePressure(good: readonly Read[]): Read[] {
  const mean_Pa = good.reduce((sum, one) => sum + one.pressure_Pa, 0) / good.length;
  return good.map((one) => {
    const by = Math.sqrt(mean_Pa / one.pressure_Pa);
    return {
      ...one,
      pressure_Pa: mean_Pa,
      flow_m3_per_s: by * one.flow_m3_per_s,
      ownStandardUncertainty_m3_per_s: by * one.ownStandardUncertainty_m3_per_s,
      seenInRepeats_m3_per_s: by * (one.seenInRepeats_m3_per_s ?? 0),
    };
  });
}

/**
 * Members in the order they came. Of a boom the first position's catches after another one's are its repeat; anywhere else a tip that
 * comes again is simply caught again.
 */
function setOf(good: readonly Good[], isBoom: boolean): SetInput {
  const labels = [...new Set(good.map(({ label }) => label))];
  const others = good.findIndex(({ label }) => label !== labels[0]);
  const isRepeat = (i: number): boolean => isBoom && i > others && good[i]!.label === labels[0];
  return {
    members: labels.map((label) => ({
      label,
      catches: good.filter((one, i) => one.label === label && !isRepeat(i)),
    })),
    repeat: good.filter((_, i) => isRepeat(i)),
    habitLimit: USUAL_HABIT.limit,
    placedAnewRelative: isBoom ? PLACED_ANEW_RELATIVE : 0,
    sharedRelative: Math.max(...good.map(({ sharedRelative }) => sharedRelative)),
  };
}

/** Own parts only; the jet's drift differs from catch to catch, so repeats show it. */
function asCompared(caught: AnalysedCatch): Omit<Labelled, 'label'> {
  const own = ownUncertainty({
    typeA_m3_per_s: caught.typeA_m3_per_s!,
    typeADegreesOfFreedom: caught.typeADegreesOfFreedom!,
    jetAllowance_m3_per_s: caught.jetAllowance_m3_per_s!,
    ownTypeB_m3_per_s: caught.ownTypeB_m3_per_s!,
    sharedTypeB_m3_per_s: 0,
  });
  return {
    at_s: (caught.start_s + caught.stop_s) / 2,
    flow_m3_per_s: caught.flow_m3_per_s!,
    ownStandardUncertainty_m3_per_s: own.standardUncertainty,
    ownDegreesOfFreedom: own.degreesOfFreedom,
    seenInRepeats_m3_per_s: caught.jetAllowance_m3_per_s!,
    sharedRelative: caught.sharedTypeB_m3_per_s! / caught.flow_m3_per_s!,
    setting_Pa: caught.setting_Pa,
    ...(caught.pressure_Pa === null ? {} : { pressure_Pa: caught.pressure_Pa }),
  };
}
