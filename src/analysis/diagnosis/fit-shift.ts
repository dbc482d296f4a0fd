import { PSI_PA } from '../../base/units/constants.ts';
import { boundary, checksAgainst, heldTo, sum, TURNS } from './candidate-fit.ts';
import type { CandidateFit } from './candidate-fit.ts';
import type { CandidateData } from './candidate-data.ts';
import { against, constantExpected, soundRig } from './evidence-penalty.ts';
import type { RigClaim } from './evidence-penalty.ts';

/** Which way k√(P − c) is meant; the curve of the first two is one and the same. */
export type Shift = 'dial-high' | 'check-valve' | 'dial-low';

/** What is looked for: a dial up to 10 psi low, a dial or a valve up to 18 psi high (measurement 5.3). */
const MOST_LOW_Pa = 10 * PSI_PA;
const MOST_HIGH_Pa = 18 * PSI_PA;
/** At the lowest setting water ran: something must be left there. */
const MOST_OF_LOWEST = 0.9;
const STEPS = 12;
const NARROWINGS = 24;
const GOLDEN = (Math.sqrt(5) - 1) / 2;

/** Best c on its side of zero: a scan, then golden section about the best step. `sound`: the fit of no fault, c = 0. */
export function fitShift(data: CandidateData, kind: Shift, sound: CandidateFit): CandidateFit {
  const lowest = Math.min(...data.pressures);
  const end =
    kind === 'dial-low'
      ? -MOST_LOW_Pa / data.pressureUnit_Pa
      : Math.min(MOST_HIGH_Pa / data.pressureUnit_Pa, MOST_OF_LOWEST * lowest);
  const at = (share: number): Shifted => shifted(data, kind, share * end);
  let best = 0;
  let least = Infinity;
  for (let step = 1; step <= STEPS; step++) {
    const { deviance } = at(step / STEPS);
    if (deviance < least) [best, least] = [step, deviance];
  }
  let [low, high] = [(best - 1) / STEPS, Math.min(1, (best + 1) / STEPS)];
  let [a, b] = [high - GOLDEN * (high - low), low + GOLDEN * (high - low)];
  let [ofA, ofB] = [at(a).deviance, at(b).deviance];
  for (let turn = 0; turn < NARROWINGS && high - low > 1e-5; turn++) {
    if (ofA < ofB) {
      [high, b, ofB] = [b, a, ofA];
      a = high - GOLDEN * (high - low);
      ofA = at(a).deviance;
    } else {
      [low, a, ofA] = [a, b, ofB];
      b = low + GOLDEN * (high - low);
      ofB = at(b).deviance;
    }
  }
  const share = (low + high) / 2;
  const found = at(share);
  if (!(found.deviance < sound.deviance)) return boundary(sound);
  return { ...whole(data, kind, found), sizeStandardUncertainty: doubtOfShift(at, share, Math.abs(end)) };
}

interface Shifted {
  readonly offset: number;
  readonly constant: number;
  readonly variances: Float64Array;
  readonly deviance: number;
}

function claimOf(kind: Shift, offset: number): RigClaim {
  return kind === 'check-valve' ? { ...soundRig, threshold: offset } : { ...soundRig, dialOffset: offset };
}

/** A checked sensor's zero is held by its check; an unchecked one's, and a dial's, by nothing. */
function sensorHolds(data: CandidateData, kind: Shift) {
  return kind !== 'check-valve' && data.sensorChecked ? data.sensorZero : null;
}

/** k for one c, and what that costs. The doubt of a pressure weighs more where the curve is steep, near c. */
function shifted(data: CandidateData, kind: Shift, offset: number): Shifted {
  const { flows, doubts: usual } = data;
  const claim = claimOf(kind, offset);
  const { datum, penalty } = constantExpected(data, claim);
  const n = flows.length;
  const roots = data.pressures.map((p) => Math.sqrt(Math.max(LEAST_LEFT, p - offset)));
  const variances = new Float64Array(n);
  const heldWeight = 1 / datum.standardUncertainty ** 2;
  let constant = datum.mean;
  for (let turn = 0; turn < TURNS; turn++) {
    let xx = heldWeight;
    let xy = heldWeight * datum.mean;
    for (let i = 0; i < n; i++) {
      const own = data.own[i]!;
      const pressurePart = (constant / (2 * roots[i]!)) * data.pressureDoubts[i]!;
      const variance = own * own + pressurePart * pressurePart;
      variances[i] = variance;
      xx += (roots[i]! * roots[i]!) / variance;
      xy += (roots[i]! * flows[i]!) / variance;
    }
    constant = xy / xx;
  }
  const sensor = sensorHolds(data, kind);
  let deviance =
    checksAgainst(data, claim).chiSquare +
    penalty.chiSquare +
    against(datum, constant) +
    (sensor === null ? 0 : against(sensor, offset));
  for (let i = 0; i < n; i++) {
    const residual = flows[i]! - constant * roots[i]!;
    deviance += (residual * residual) / variances[i]! + Math.log(variances[i]! / (usual[i]! * usual[i]!));
  }
  return { offset, constant, variances, deviance };
}

/** Of the highest pressure: the dial's scatter may carry the lowest setting below c, where nothing would run. */
const LEAST_LEFT = 1e-9;

function whole(
  data: CandidateData,
  kind: Shift,
  found: Shifted,
): Omit<CandidateFit, 'sizeStandardUncertainty'> {
  const claim = claimOf(kind, found.offset);
  const { datum, penalty } = constantExpected(data, claim);
  const sensor = sensorHolds(data, kind);
  return {
    constant: found.constant,
    offset: found.offset,
    cap: Infinity,
    leak: 0,
    sensorZero: 0,
    flowZero: 0,
    deviance: found.deviance,
    doubts: Array.from(found.variances, Math.sqrt),
    held: sum([
      checksAgainst(data, claim),
      penalty,
      ...heldTo([[datum, found.constant], ...(sensor === null ? [] : [[sensor, found.offset] as const])]),
      { chiSquare: 0, count: -2 },
    ]),
    atBoundary: false,
  };
}

/** From the bend of the deviance about its least: D(c ± h) − D(c) = (h/u)². */
function doubtOfShift(at: (share: number) => Shifted, share: number, span: number): number {
  const h = Math.min(0.02, 0.5 * share, 0.5 * (1 - share));
  if (!(h > 0)) return span / STEPS;
  const rise = at(share - h).deviance + at(share + h).deviance - 2 * at(share).deviance;
  return rise > 0 ? (h * span * Math.SQRT2) / Math.sqrt(rise) : span;
}
