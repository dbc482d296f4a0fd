import { boundary, checksAgainst, heldTo, misfit, sum } from './candidate-fit.ts';
import type { CandidateFit } from './candidate-fit.ts';
import type { CandidateData } from './candidate-data.ts';
import { constantExpected, soundRig } from './evidence-penalty.ts';
import { heldLeastSquares } from './held-least-squares.ts';

/**
 * k√min(P, cap): the pump gives no more than `cap`. Between two settings the model is linear in k and k√cap, so each partition is solved
 * outright and the best taken; a cap that falls outside its partition is moved to its end. The doubts stay those of k√P: above the cap
 * the setting's own scatter no longer reaches the flow, but a candidate that may drop it there would win by three catches that agree.
 * With a sensor there is none: the flow is held against the pressure that was there, and a weak pump shows as pressure that does not follow.
 */
export function fitCap(data: CandidateData, sound: CandidateFit): CandidateFit {
  if (data.pressureMeasured) return boundary(sound);
  const levels = data.settings.map((group) => Math.min(...group.map((i) => data.pressures[i]!)));
  let best = boundary(sound);
  for (let below = 0; below < levels.length; below++) {
    const least = below === 0 ? LEAST_OF_LOWEST * levels[0]! : levels[below - 1]!;
    let cap = levels[below]!;
    // The gauge at the wand sees the cap too: what it says of the loss depends on it.
    for (let turn = 0; turn < (data.evidence.wand.length > 0 ? 3 : 1); turn++) {
      const found = capBetween(data, least, levels[below]!, cap);
      if (found === null) break;
      cap = found.cap;
      if (found.deviance < best.deviance) best = found;
    }
  }
  return best;
}

/** A pump that does not reach even the lowest setting gives one flow at all of them; how much less is told by k alone. */
const LEAST_OF_LOWEST = 0.3;

function capBetween(data: CandidateData, least: number, most: number, start: number): CandidateFit | null {
  const claim = { ...soundRig, cap: start };
  const expected = constantExpected(data, claim);
  const above = data.pressures.map((p) => p >= most);
  const following = data.pressures.map((p, i) => (above[i]! ? 0 : Math.sqrt(p)));
  const capped = above.map((is) => (is ? 1 : 0));
  const free = heldLeastSquares([following, capped], data.flows, data.doubts, [expected.datum, null]);
  if (free === null) return null;
  const [k = 0, level = 0] = free.parameters;
  let cap = k > 0 && level > 0 ? (level / k) ** 2 : NaN;
  if (!Number.isFinite(cap)) return null;
  let constant = k;
  const isInside = cap >= least && cap <= most;
  cap = Math.min(most, Math.max(least, cap));
  const shape = data.pressures.map((p) => Math.sqrt(Math.min(p, cap)));
  if (!isInside) {
    const at = heldLeastSquares([shape], data.flows, data.doubts, [expected.datum]);
    if (at === null) return null;
    constant = at.parameters[0]!;
  }
  const held = sum([
    checksAgainst(data, claim),
    expected.penalty,
    ...heldTo([[expected.datum, constant]]),
    { chiSquare: 0, count: -2 },
  ]);
  const [[kk = 0, kl = 0], [, ll = 0]] = free.covariance as [number[], number[]];
  // cap = (level/k)²: relative variance is four times that of the ratio.
  const ratio = ll / level ** 2 + kk / k ** 2 - (2 * kl) / (level * k);
  return {
    constant,
    offset: 0,
    cap,
    leak: 0,
    sensorZero: 0,
    flowZero: 0,
    deviance: misfit(data, [shape], [constant], data.doubts) + held.chiSquare,
    doubts: data.doubts,
    held,
    sizeStandardUncertainty: 2 * cap * Math.sqrt(Math.max(0, ratio)),
    atBoundary: false,
  };
}
