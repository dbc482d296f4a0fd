import { solveSymmetric } from '../../base/statistics/solve-symmetric.ts';
import { fitRig, LOG_GAIN, LOSS, OFFSET, type RigFit, type RigKnown, type RigQuestion } from './rig-model.ts';

/**
 * What one more cause must take off chi-square before it is believed: 7 of the gate that finds faults in a single sweep (measurement 5.3),
 * and 2 for its parameter. A tip that changed is one cause; so is each of b, g and c that is not as it should be.
 */
const PRICE = 9;
/** Explanations that lie as near as this to the best are not told apart (as "A or B" of measurement 5.3). */
const NEAR = 4;
const MOST_OTHERS = 3;
/** Tips that may have changed one by one; more is no rack but a wreck. */
const MOST_CHANGED = 6;
/** Of a large rack, only those that stand off most are asked whether they changed. */
const LOOKED_AT = 8;

export interface Explanation {
  /** Tips that changed by themselves. */
  readonly changed: ReadonlySet<number>;
  readonly fit: RigFit;
  readonly score: number;
}

export interface Asking {
  readonly question: RigQuestion;
  readonly known: (changed: ReadonlySet<number>) => RigKnown;
  /** Tips that can't have changed. */
  readonly anchors: ReadonlySet<number>;
  /** References are absolute: c is no change, so it can't be below none. */
  readonly absolute: boolean;
}

/**
 * What: which tips changed by themselves, so that the others can speak for the rig.
 * Rule: score = chi-square + 9 for each tip that has a change of its own + 9 for each of b, g and c that the rest can't do without (the
 *   smallest sum over which of them are none). Tips are freed (one, or all at once: used together, worn together), taken back or exchanged
 *   while the score falls. At least one
 *   tip, or a gauge at the wand, stays to speak for the rig; anchors always stay. What a parameter's absence adds to chi-square is
 *   θᵀ·V⁻¹·θ of those that are none (Wald), so that one fit serves all eight cases. Pressure can be lost on the way and not won: where
 *   references are absolute, a loss below none counts as misfit.
 * Returns the best explanation first, then those within 4 of it that differ by one tip. Empty: nothing could be fitted.
 */
export function chooseChanged(asking: Asking): readonly Explanation[] {
  const tips = asking.question.tips.length;
  const seen = new Map<string, Explanation | null>();
  let best: Explanation | null = null;
  const explain = (changed: readonly number[]): Explanation | null => {
    const key = [...changed].sort((a, b) => a - b).join(' ');
    let found = seen.get(key);
    if (found === undefined) seen.set(key, (found = explainWith(asking, new Set(changed), best?.fit)));
    return found;
  };
  best = explain([]);
  for (let turn = 0; turn < 2 * MOST_CHANGED; turn++) {
    const next = nearest(best, neighbours(best, tips, asking).map(explain));
    if (next === best || next === null) break;
    best = next;
  }
  if (best === null) return [];
  const others = neighbours(best, tips, asking)
    .map(explain)
    .filter(
      (other): other is Explanation => other !== null && other !== best && other.score <= best.score + NEAR,
    );
  return [best, ...others.sort((a, b) => a.score - b.score).slice(0, MOST_OTHERS)];
}

function nearest(best: Explanation | null, others: readonly (Explanation | null)[]): Explanation | null {
  return others.reduce(
    (found, other) => (other !== null && (found === null || other.score < found.score) ? other : found),
    best,
  );
}

/** One tip more, one less, or one instead of another. */
function neighbours(best: Explanation | null, tips: number, { question, anchors }: Asking): number[][] {
  const changed = best?.changed ?? new Set<number>();
  const inside = [...changed];
  const all = Array.from({ length: tips }, (_, i) => i).filter((i) => !changed.has(i) && !anchors.has(i));
  const everyOne = [...inside, ...all];
  const outside = standingOffMost(best, all);
  const found = [
    everyOne,
    ...(inside.length < MOST_CHANGED ? outside.map((i) => [...inside, i]) : []),
    ...inside.map((i) => inside.filter((other) => other !== i)),
    ...inside.flatMap((i) => outside.map((j) => [...inside.filter((other) => other !== i), j])),
  ];
  return found.filter((one) => one.length < tips || question.wand.length > 0);
}

function standingOffMost(best: Explanation | null, tips: readonly number[]): readonly number[] {
  if (best === null || tips.length <= LOOKED_AT) return tips;
  const off = new Map(tips.map((tip) => [tip, best.fit.standsOff(tip)]));
  return [...tips].sort((a, b) => off.get(b)! - off.get(a)!).slice(0, LOOKED_AT);
}

function explainWith(asking: Asking, changed: ReadonlySet<number>, near?: RigFit): Explanation | null {
  const { question, known, absolute, anchors } = asking;
  const free = fitRig(question, known(changed), changed, near);
  if (free === null) return null;
  const below = absolute ? Math.min(0, free.parameters[LOSS]!) / Math.sqrt(free.covariance(LOSS, LOSS)) : 0;
  const fit = withinReason(question, known(changed), changed, free);
  const scored = absolute ? free : fit;
  return {
    changed,
    fit,
    score:
      scored.chiSquare +
      below ** 2 +
      rigPrice(scored) +
      priceOf(changed.size, question.tips.length - anchors.size),
  };
}

/** Of a loss (c·k²), how far chance or a strainer that was cleaned may put it below none; standard uncertainty. Judgement. */
const BELOW_NONE_U = 0.05;

/**
 * Pressure is lost on the way, never won; since a baseline less may be lost than was, but not much. So where the tips alone tell the loss
 * and put it farther below none than twice that, it is held to none within it (or half of their own doubt), and what the tips say against that shows in the fit.
 */
export function withinReason(
  question: RigQuestion,
  known: RigKnown,
  changed: ReadonlySet<number>,
  free: RigFit,
): RigFit {
  if (known.loss !== null || free.parameters[LOSS]! >= -2 * BELOW_NONE_U) return free;
  const told = Math.sqrt(free.covariance(LOSS, LOSS));
  const loss = { value: 0, standardUncertainty: Math.min(BELOW_NONE_U, told / 2) };
  return fitRig(question, { ...known, loss }, changed, free) ?? free;
}

/** Tips that are used together wear together: all of them is one cause with several parameters, 2 for each as AIC counts. */
function priceOf(changed: number, mayChange: number): number {
  return changed > 1 && changed === mayChange ? PRICE + 2 * (changed - 1) : PRICE * changed;
}

/** The cheapest way to have the rig: each of b, g and c at its price, or at what its absence costs in chi-square. */
function rigPrice(fit: RigFit): number {
  const all = [OFFSET, LOG_GAIN, LOSS];
  const subsets = Array.from({ length: 2 ** all.length }, (_, bits) =>
    all.filter((__, i) => (bits >> i) & 1),
  );
  return Math.min(
    ...subsets.map((none) => {
      if (none.length === 0) return PRICE * all.length;
      const values = none.map((place) => fit.parameters[place]!);
      const solved = solveSymmetric(
        none.map((a) => none.map((b) => fit.covariance(a, b))),
        values,
      );
      if (solved === null) return Infinity;
      const added = solved.solution.reduce((sum, value, i) => sum + value * values[i]!, 0);
      return added + PRICE * (all.length - none.length);
    }),
  );
}
