// Over 300 lines: one model, its equations, their derivatives and the fit stand together to be checked against each other.
import { arrowEquations, type ArrowEquations, type Slope } from '../../base/statistics/solve-arrow.ts';
import type { MeasuredTip, WandReading } from './measured-tip.ts';

/** A tip with its reference, which the model needs. */
export type ReferencedTip = MeasuredTip & { readonly reference: NonNullable<MeasuredTip['reference']> };

export interface RigKnown {
  /** What is known of b beforehand. */
  readonly offset: { readonly value_Pa: number; readonly standardUncertainty_Pa: number };
  /** Of the loss before the largest tip, c·k² (close to the share of the pressure lost); null: nothing, the tips must tell. */
  readonly loss: { readonly value: number; readonly standardUncertainty: number } | null;
}

export interface RigQuestion {
  readonly tips: readonly ReferencedTip[];
  /** The control goes back to the same wrong pressure: one error for each mark of the dial, the same for all tips. */
  readonly dialReturns: boolean;
  readonly wand: readonly WandReading[];
}

/** Places of the parameters. */
export const OFFSET = 0;
export const LOG_GAIN = 1;
export const LOSS = 2;
const RIG = 3;

export interface RigFit {
  readonly parameters: readonly number[];
  /** Of two parameters, by place. */
  readonly covariance: (a: number, b: number) => number;
  readonly chiSquare: number;
  readonly degreesOfFreedom: number;
  /** Place of ln k's reference, and of the tip's own change where it may have one. */
  readonly referenceAt: (tip: number) => number;
  readonly changeAt: (tip: number) => number | null;
  /** ln of the largest reference: where the loss is counted. */
  readonly largest: number;
  /** What chi-square would fall by if this tip, not released, had a change of its own (to first order): how far it stands off. */
  readonly standsOff: (tip: number) => number;
}

interface Observation {
  /** Value less model, and the model's derivatives by place. */
  readonly at: (
    p: readonly number[],
  ) => { readonly residual: number; readonly slopes: readonly Slope[] } | null;
  readonly weight: number;
}

const MOST_STEPS = 40;

/**
 * What: what several tips of one rig say of its pressure. Pressure at the tip = g(P + b) − c·Q², so
 *   ln Q = ½[ln g + ln(P + b) − ln(1 + c·k²)] + ln k (measurement 11.9).
 * Method: Gauss-Newton in ln g, b, c and one ln(reference) for each tip; a tip that is `released` has a change of its own beside it. What
 *   references share, what today's flows share and the error of each mark of a dial that returns are parameters with a mean of 0 and
 *   the variance that is stated: the same as generalised least squares with their full covariance (a test holds both against algebra),
 *   but nothing large has to be inverted. A wand gauge adds ln(reading) = ln g + ln(P + b) − ln(1 + c·k²).
 * `near`: a fit to begin from. Returns null where the data can't tell the parameters, or no step leads on.
 */
export function fitRig(
  question: RigQuestion,
  known: RigKnown,
  released: ReadonlySet<number>,
  near?: RigFit,
): RigFit | null {
  const { tips } = question;
  const largest = Math.max(...tips.map((tip) => Math.log(tip.reference.nozzleConstant_m3_per_s_per_sqrtPa)));
  const places = new Map<string, number>();
  const placeOf = (name: string): number => {
    const found = places.get(name) ?? RIG + places.size;
    places.set(name, found);
    return found;
  };
  tips.forEach((_, i) => placeOf(`reference ${i}`));
  for (const i of released) placeOf(`change ${i}`);
  const observations: Observation[] = [];
  const datum = (value: number, u: number, slopes: readonly Slope[]): void => {
    observations.push({
      weight: 1 / u ** 2,
      at: (p) => ({ residual: value - slopes.reduce((sum, [place, s]) => sum + s * p[place]!, 0), slopes }),
    });
  };
  const nuisances = new Set<string>();
  const nuisance = (name: string): number => {
    nuisances.add(name);
    return placeOf(name);
  };

  datum(known.offset.value_Pa / 1e5, known.offset.standardUncertainty_Pa / 1e5, [[OFFSET, 1]]);
  if (known.loss !== null) datum(known.loss.value, known.loss.standardUncertainty, [[LOSS, 1]]);
  let counted = 0;
  const logConstant = (i: number): readonly number[] => [
    placeOf(`reference ${i}`),
    ...(released.has(i) ? [placeOf(`change ${i}`)] : []),
  ];
  const referenceSlopes = (i: number): Slope[] => {
    const { sharedRelativeStandardUncertainty: shared, sharedGroup } = tips[i]!.reference;
    return [
      [placeOf(`reference ${i}`), 1],
      ...(shared > 0 ? [[nuisance(`references ${sharedGroup}`), shared] as const] : []),
    ];
  };
  tips.forEach((tip, i) => {
    const { reference } = tip;
    datum(Math.log(reference.nozzleConstant_m3_per_s_per_sqrtPa), referenceDoubt(tip), referenceSlopes(i));
    const today = tip.sharedRelativeStandardUncertainty;
    for (const point of tip.points) {
      counted++;
      const mark = question.dialReturns && point.pressureStandardUncertainty_Pa > 0;
      const extra: readonly Slope[] = [
        ...(today > 0 ? [[nuisance(`flows ${tip.sharedGroup}`), today] as const] : []),
      ];
      const own = point.ownRelativeStandardUncertainty;
      const dial = point.pressureStandardUncertainty_Pa / (2 * point.pressure_Pa);
      observations.push(
        pressureSeen({
          value: Math.log(point.flow_m3_per_s),
          u: Math.max(mark ? own : Math.hypot(own, dial), 1e-9),
          half: 0.5,
          pressure_Pa: point.pressure_Pa,
          mark: mark
            ? { place: nuisance(`mark ${point.setting_Pa}`), u_Pa: point.pressureStandardUncertainty_Pa }
            : null,
          logConstant: logConstant(i),
          largest,
          extra,
        }),
      );
    }
  });
  for (const reading of question.wand) {
    counted++;
    observations.push(wandSeen(reading, tips, logConstant, largest));
  }
  for (const name of nuisances) datum(0, 1, [[placeOf(name), 1]]);

  const start = new Array<number>(RIG + places.size).fill(0);
  start[OFFSET] = known.offset.value_Pa / 1e5;
  start[LOSS] = known.loss?.value ?? 0;
  tips.forEach((tip, i) => {
    start[placeOf(`reference ${i}`)] = Math.log(tip.reference.nozzleConstant_m3_per_s_per_sqrtPa);
  });
  if (near !== undefined) beginNear(near, start);
  const block = new Array<number>(start.length).fill(-1);
  tips.forEach((_, i) => logConstant(i).forEach((place) => (block[place] = i)));
  const found = gaussNewton(observations, start, block);
  if (found === null) return null;
  const told = known.loss === null ? 1 : 2;
  return {
    ...found,
    // References and what is known beforehand count as data; each takes its parameter, so flows, gauges and these are left.
    degreesOfFreedom: counted + tips.length + told - (RIG + tips.length + released.size),
    referenceAt: (tip) => placeOf(`reference ${tip}`),
    changeAt: (tip) => (released.has(tip) ? placeOf(`change ${tip}`) : null),
    largest,
    // A change of its own leaves its reference nothing to say: what an observation that is left out takes with it, e²/(u² − u²(fit)).
    standsOff: (i) => {
      const slopes = referenceSlopes(i);
      const { parameters: p, covariance } = found;
      const fitted = slopes.reduce((sum, [place, slope]) => sum + slope * p[place]!, 0);
      const variance = slopes.reduce(
        (sum, [a, ofA]) => sum + slopes.reduce((s, [b, ofB]) => s + ofA * ofB * covariance(a, b), 0),
        0,
      );
      const told = Math.log(tips[i]!.reference.nozzleConstant_m3_per_s_per_sqrtPa);
      const u = referenceDoubt(tips[i]!);
      return (told - fitted) ** 2 / Math.max(1e-9 * u * u, u * u - variance);
    },
  };

  /** From a fit that differs in one tip: rig and references as they were there. */
  function beginNear(from: RigFit, to: number[]): void {
    for (const place of [OFFSET, LOG_GAIN, LOSS]) to[place] = from.parameters[place]!;
    tips.forEach((_, i) => {
      to[placeOf(`reference ${i}`)] = from.parameters[from.referenceAt(i)]!;
      const change = from.changeAt(i);
      if (released.has(i) && change !== null) to[placeOf(`change ${i}`)] = from.parameters[change]!;
    });
  }
}

function referenceDoubt({ reference }: ReferencedTip): number {
  return Math.max(reference.ownRelativeStandardUncertainty, 1e-6);
}

interface Seen {
  readonly value: number;
  readonly u: number;
  /** ½ for a flow, 1 for a gauge. */
  readonly half: number;
  readonly pressure_Pa: number;
  readonly mark: { readonly place: number; readonly u_Pa: number } | null;
  /** Places whose sum is ln k; a gauge sees it in the loss alone. */
  readonly logConstant: readonly number[];
  readonly largest: number;
  readonly extra: readonly Slope[];
}

/** b stands in units of 1e5 Pa, so that all parameters are of the order of one. */
function pressureSeen(seen: Seen): Observation {
  const { half, pressure_Pa, mark, logConstant, extra } = seen;
  return {
    weight: 1 / seen.u ** 2,
    at: (p) => {
      const pressure = pressure_Pa + 1e5 * p[OFFSET]! + (mark === null ? 0 : mark.u_Pa * p[mark.place]!);
      const k = logConstant.reduce((sum, place) => sum + p[place]!, 0);
      const size = Math.exp(2 * (k - seen.largest));
      const lost = 1 + p[LOSS]! * size;
      if (!(pressure > 0 && lost > 0)) return null;
      const ofConstant = (half === 0.5 ? 1 : 0) - (2 * half * p[LOSS]! * size) / lost;
      const model =
        half * (p[LOG_GAIN]! + Math.log(pressure) - Math.log(lost)) +
        (half === 0.5 ? k : 0) +
        extra.reduce((sum, [place, s]) => sum + s * p[place]!, 0);
      return {
        residual: seen.value - model,
        slopes: [
          [OFFSET, (half * 1e5) / pressure],
          [LOG_GAIN, half],
          [LOSS, (-half * size) / lost],
          ...logConstant.map((place): Slope => [place, ofConstant]),
          ...(mark === null ? [] : [[mark.place, (half * mark.u_Pa) / pressure] as const]),
          ...extra,
        ],
      };
    },
  };
}

/** Where nobody said which tip was on, the loss is that of one between the smallest and the largest: a tenth of the pressure either way. */
const UNTOLD_LOSS = 0.1;

function wandSeen(
  reading: WandReading,
  tips: readonly ReferencedTip[],
  logConstant: (tip: number) => readonly number[],
  largest: number,
): Observation {
  const logs = tips.map((tip) => Math.log(tip.reference.nozzleConstant_m3_per_s_per_sqrtPa));
  const named = tips.findIndex((tip) => tip.key === reading.tip);
  const middle = logs.indexOf([...logs].sort((a, b) => a - b)[Math.floor(logs.length / 2)]!);
  const range = named >= 0 ? 0 : 1 - Math.exp(2 * (Math.min(...logs) - largest));
  return pressureSeen({
    value: Math.log(reading.wand_Pa),
    u: Math.hypot(
      reading.standardUncertainty_Pa / reading.wand_Pa,
      reading.settingStandardUncertainty_Pa / reading.setting_Pa,
      (UNTOLD_LOSS * range) / Math.sqrt(12),
    ),
    half: 1,
    pressure_Pa: reading.setting_Pa,
    mark: null,
    logConstant: logConstant(named >= 0 ? named : middle),
    largest,
    extra: [],
  });
}

function gaussNewton(
  observations: readonly Observation[],
  start: readonly number[],
  block: readonly number[],
) {
  let parameters = [...start];
  let now = normal(observations, parameters, block);
  for (let step = 0; step < MOST_STEPS; step++) {
    if (now === null) return null;
    const { equations } = now;
    const solved = equations.solve();
    if (solved === null) return null;
    let share = 1;
    let next: number[] = [];
    let tried: Normal | null = null;
    // Half the step again where it leads out of what can be (no pressure left) or uphill.
    for (; share > 1e-4; share /= 2) {
      next = parameters.map((value, i) => value + share * solved.solution[i]!);
      tried = normal(observations, next, block);
      if (tried !== null && tried.chiSquare <= now.chiSquare * (1 + 1e-9) + 1e-12) break;
      tried = null;
    }
    if (tried === null) tried = now;
    else parameters = next;
    const moved = Math.max(
      ...solved.solution.map((value, i) => Math.abs(value) * Math.sqrt(equations.diagonal(i))),
    );
    now = tried;
    if (moved < 1e-6 || share <= 1e-4) {
      const last = now.equations.solve();
      return last === null
        ? null
        : { parameters, covariance: columnsOf(last.inverseColumn), chiSquare: now.chiSquare };
    }
  }
  return null;
}

/** Few of the many columns are ever asked for. */
function columnsOf(columnAt: (column: number) => readonly number[]): RigFit['covariance'] {
  const known = new Map<number, readonly number[]>();
  return (a, b) => {
    const column = known.get(a) ?? columnAt(a);
    known.set(a, column);
    return column[b]!;
  };
}

interface Normal {
  readonly equations: ArrowEquations;
  readonly chiSquare: number;
}

/** What is a tip's own touches no other tip's: with fifty of them that is the difference between seconds and milliseconds. */
function normal(
  observations: readonly Observation[],
  p: readonly number[],
  block: readonly number[],
): Normal | null {
  const equations = arrowEquations(block);
  let chiSquare = 0;
  for (const { at, weight } of observations) {
    const seen = at(p);
    if (seen === null) return null;
    chiSquare += weight * seen.residual ** 2;
    equations.add(seen.slopes, seen.residual, weight);
  }
  return { equations, chiSquare };
}
