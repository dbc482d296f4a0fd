import type { Absence, Warning } from '../../base/because.ts';
import { chiSquareCdf } from '../../base/statistics/distributions.ts';
import { PSI_PA } from '../../base/units/constants.ts';
import { chooseChanged, withinReason, type Explanation } from './choose-changed.ts';
import type { MeasuredTip, WandReading } from './measured-tip.ts';
import {
  fitRig,
  LOG_GAIN,
  LOSS,
  OFFSET,
  type ReferencedTip,
  type RigKnown,
  type RigQuestion,
} from './rig-model.ts';
import { blameOf, enclosing, interval, partsOf, untold, type Parts } from './parts-of-tip.ts';
import type { NoTipOrRig, TipOrRig } from './tip-or-rig.ts';

export interface TipOrRigInput {
  readonly tips: readonly MeasuredTip[];
  /** The control clicks or shows a number: it goes back to the same wrong pressure. */
  readonly dialReturns: boolean;
  /** True pressures, so they speak only where all references are absolute: of changes since a day they say nothing. */
  readonly wand?: readonly WandReading[];
  /** What the dial read at zero pressure says of b (true less shown); the same holds for it. */
  readonly offset?: { readonly value_Pa: number; readonly standardUncertainty_Pa: number };
  /** Share of the pressure lost before the largest tip, estimated from hose and bore; used where the tips can't tell it. */
  readonly lostAtLargest?: { readonly relative: number; readonly standardUncertainty: number };
}

/** Of b beforehand: a dial off by more than twice this is a wreck. It takes nothing from what tips say (their own is under 2 psi). */
const OFFSET_U_PA = 10 * PSI_PA;
/** Where sizes are too near each other to tell g from c: what may be lost before the largest tip, as a share. Our choice, no source. */
const LOSS_U = 0.1;
/** The same as a change since the baselines: a hose does not grow longer, a strainer may clog. */
const LOSS_CHANGE_U = 0.05;
/** Sizes (and pressures) that tell g from c (and from b), largest over smallest. */
const SIZES_APART = 2;
const PRESSURES_APART = 1.5;
/** Of the pressure: a dial, a hose or references off by more are no rig but a mistake in what was told. */
const MOST_GAIN = 3;
/** A fit that is worse than this is said to be none. */
const FIT_P = 0.01;

/**
 * What: of what each tip gives more or less than its reference, how much is the rig's and how much its own (measurement 11.9).
 * Method: the shared model of `rig-model`; first which tips changed by themselves (`choose-changed`), so that the others speak for the
 *   rig: b, g and c from them. Then each tip by itself: what the OTHERS say of the rig is the rig's part, the rest its own, so its own
 *   reference never excuses it. Every ± at 95 %, normal. Explanations that lie too near each other widen the intervals to hold both.
 *   g and c stand apart only with sizes 2:1 among those that speak; otherwise one factor, and what may be lost in the hose is a doubt.
 *   A tip whose own curve bends (it leaks, the pump gave out) would be taken for a rig that is off: it is left out, and told.
 * Returns `because`: `one-tip-only`, `no-reference` under two tips with one, `too-few-tips-left`, `fit-did-not-settle`,
 *   `tips-and-rig-disagree` for a rig that can't be (over three times the pressure, or under a third).
 */
export function tellTipFromRig(input: TipOrRigInput): TipOrRig | NoTipOrRig {
  if (input.tips.filter((tip) => tip.points.length > 0).length < 2) return absent('one-tip-only');
  const referenced = input.tips.filter(
    (tip): tip is ReferencedTip => tip.reference !== null && tip.points.length > 0,
  );
  if (referenced.length < 2) return absent('no-reference');
  const tips = referenced.filter(({ shows }) => shows === undefined);
  const left = referenced.flatMap(({ key, shows }) => (shows === undefined ? [] : [{ key, shows }]));
  const leftOut = left.length === 0 ? {} : { leftOut: left };
  if (tips.length < 2) return { because: 'too-few-tips-left', ...leftOut };
  const measuredHere = tips.filter((tip) => tip.reference.from !== 'rated');
  const since =
    measuredHere.length === 0 ? 'absolute' : measuredHere.length === tips.length ? 'baseline' : 'mixed';
  const absolute = since === 'absolute';
  const question: RigQuestion = {
    tips,
    dialReturns: input.dialReturns,
    wand: absolute ? (input.wand ?? []) : [],
  };
  const anchors = new Set(tips.flatMap((tip, i) => (tip.anchor ? [i] : [])));
  const known = (changed: ReadonlySet<number>): RigKnown => ({
    offset: (absolute ? input.offset : undefined) ?? { value_Pa: 0, standardUncertainty_Pa: OFFSET_U_PA },
    loss: isApart(question, changed) ? null : lossKnown(input, since),
  });
  const explanations = chooseChanged({ question, known, anchors, absolute });
  const best = explanations[0];
  if (best === undefined) return { because: 'fit-did-not-settle', ...leftOut };
  if (Math.abs(best.fit.parameters[LOG_GAIN]!) > Math.log(MOST_GAIN))
    return { because: 'tips-and-rig-disagree', ...leftOut };

  const apart = isApart(question, best.changed);
  const { fit } = best;
  const of = (place: number): number => fit.parameters[place]!;
  const u = (place: number): number => Math.sqrt(fit.covariance(place, place));
  const told = tips.map((_, i) =>
    explanations.map((explanation) => partsByOthers(question, known, anchors, explanation, i)),
  );
  const pValue = fit.degreesOfFreedom > 0 ? 1 - chiSquareCdf(fit.chiSquare, fit.degreesOfFreedom) : 1;
  const warnings: Warning[] = left.length > 0 ? ['tips-left-out'] : [];
  if (pValue < FIT_P) warnings.push('tips-and-rig-do-not-fit');
  if (explanations.length > 1) warnings.push('tip-or-rig-either');
  const dates = measuredHere.flatMap((tip) => (tip.reference.at_ms === null ? [] : [tip.reference.at_ms]));
  const rig = combined(told.map((parts) => parts[0]!));
  const blamed = told.map((all, i) => {
    const blames = new Set(all.map((parts) => blameOf(parts, tips[i]!.anchor)));
    return blames.size === 1 ? [...blames][0]! : 'cannot-tell';
  });
  const anchored = anchors.size > 0 ? 'drawer-tip' : question.wand.length > 0 ? 'wand-gauge' : null;
  if (anchored === null && blamed.includes('rig')) warnings.push('all-tips-or-rig');
  return {
    since,
    sinceFrom_ms: dates.length === 0 ? null : Math.min(...dates),
    offset_Pa: interval(of(OFFSET) * 1e5, u(OFFSET) * 1e5),
    told: apart ? 'apart' : 'combined',
    gain: apart ? interval(Math.exp(of(LOG_GAIN)), Math.exp(of(LOG_GAIN)) * u(LOG_GAIN)) : null,
    // c·k² over 1 + c·k²: of the pressure before the loss.
    lostAtLargest: apart ? interval(of(LOSS) / (1 + of(LOSS)), u(LOSS) / (1 + of(LOSS)) ** 2) : null,
    rigFactor: apart ? null : interval(Math.exp(rig.value), Math.exp(rig.value) * rig.standardUncertainty),
    tips: tips.map((tip, i) => {
      const all = told[i]!;
      return {
        key: tip.key,
        deviation: enclosing(all.map((parts) => parts.deviation)),
        rigPart: enclosing(all.map((parts) => parts.rig)),
        tipPart: enclosing(all.map((parts) => parts.tip)),
        blame: blamed[i]!,
        isAnchor: tip.anchor,
      };
    }),
    anchored,
    fit: { chiSquare: fit.chiSquare, degreesOfFreedom: fit.degreesOfFreedom, pValue },
    warnings,
    ...leftOut,
  };
}

/** A tip's parts with its own reference not speaking for the rig, where anything else is left that does. */
function partsByOthers(
  question: RigQuestion,
  known: (changed: ReadonlySet<number>) => RigKnown,
  anchors: ReadonlySet<number>,
  explanation: Explanation,
  tip: number,
): Parts {
  const { changed, fit } = explanation;
  const alone = changed.size + 1 >= question.tips.length && question.wand.length === 0;
  if (changed.has(tip) || anchors.has(tip)) return partsOf(question, fit, tip);
  if (alone) return untold(partsOf(question, fit, tip));
  const others = new Set([...changed, tip]);
  const told = known(others);
  // What all together say of the loss may be much: then those that are left must be allowed as much, and not held to none.
  const seen = Math.abs(fit.parameters[LOSS]! - (told.loss?.value ?? 0));
  const loss = told.loss && {
    ...told.loss,
    standardUncertainty: Math.max(told.loss.standardUncertainty, seen),
  };
  const freed = fitRig(question, { ...told, loss }, others, fit);
  return partsOf(
    question,
    freed === null ? fit : withinReason(question, { ...told, loss }, others, freed),
    tip,
  );
}

/** Those that speak for the rig have sizes and pressures far enough apart; a gauge at the wand is worth its own. */
function isApart({ tips }: RigQuestion, changed: ReadonlySet<number>): boolean {
  const speaking = tips.filter((_, i) => !changed.has(i));
  const sizes = speaking.map((tip) => tip.reference.nozzleConstant_m3_per_s_per_sqrtPa);
  const pressures = speaking.flatMap((tip) => tip.points.map((point) => point.pressure_Pa));
  // Rounding of a size must not decide it.
  return (
    Math.max(...sizes) >= SIZES_APART * (1 - 0.02) * Math.min(...sizes) &&
    Math.max(...pressures) >= PRESSURES_APART * Math.min(...pressures)
  );
}

function lossKnown({ lostAtLargest }: TipOrRigInput, since: TipOrRig['since']) {
  if (since === 'baseline') return { value: 0, standardUncertainty: LOSS_CHANGE_U };
  if (lostAtLargest === undefined) return { value: 0, standardUncertainty: LOSS_U };
  const { relative, standardUncertainty } = lostAtLargest;
  // From the share of the pressure before it to the model's c·k².
  return {
    value: relative / (1 - relative),
    standardUncertainty: Math.max(0.01, standardUncertainty / (1 - relative) ** 2),
  };
}

/** One factor for all: the mean of what each tip is told by the others, with the doubt of the surest (they are not independent). */
function combined(parts: readonly Parts[]) {
  const weights = parts.map((one) => 1 / one.rig.standardUncertainty ** 2);
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return {
    value: parts.reduce((sum, one, i) => sum + weights[i]! * Math.log(one.rig.value), 0) / total,
    standardUncertainty: Math.min(...parts.map((one) => one.rig.standardUncertainty / one.rig.value)),
  };
}

function absent(because: Absence): NoTipOrRig {
  return { because };
}
