import { against, blankTipPenalty, constantExpected, dialPenalty, soundRig } from './evidence-penalty.ts';
import type { Penalty, RigClaim } from './evidence-penalty.ts';
import type { CandidateData } from './candidate-data.ts';
import { heldLeastSquares } from './held-least-squares.ts';
import type { Datum } from './held-least-squares.ts';

/** One explanation, fitted. In the units of the sweep (`candidate-data.ts`). */
export interface CandidateFit {
  readonly constant: number;
  /** Of the pressures: dial's offset or threshold, whichever the candidate is about. */
  readonly offset: number;
  readonly cap: number;
  readonly leak: number;
  /** Within a sensor's doubt, and within a meter's. */
  readonly sensorZero: number;
  readonly flowZero: number;
  /** Σ(residual/u)² + Σ ln(u²/u₀²) + what is held + what the checks say: −2 ln likelihood, less what all candidates share. */
  readonly deviance: number;
  /** As the fit has them: the pressure's doubt bends with the curve. */
  readonly doubts: readonly number[];
  /** χ² of everything that is no catch (reference, sensor, checks), and how many data less parameters that is. */
  readonly held: Penalty;
  /** Of the fault's own number (k for a scale candidate); 0 for no fault or at the boundary. */
  readonly sizeStandardUncertainty: number;
  /** The data ask for the other side of a one-sided candidate: it is no better than no fault. */
  readonly atBoundary: boolean;
}

/** Flow of a fitted candidate at a pressure. */
export function flowOf(
  fit: Pick<CandidateFit, 'constant' | 'offset' | 'cap' | 'leak' | 'sensorZero' | 'flowZero'>,
  pressure: number,
  leakExponent: number,
): number {
  const there = Math.min(pressure, fit.cap) - fit.offset - fit.sensorZero;
  const zero = fit.flowZero;
  return fit.constant * Math.sqrt(Math.max(0, there)) + fit.leak * pressure ** leakExponent + zero;
}

/**
 * √pressure as every candidate without a bend of its own has it, then how a zero error of the sensor would bend it and what a meter's
 * offset would add, each held by its own doubt: one datum and one parameter.
 */
function columnsOf({ pressures, sensorZero, flowZero }: CandidateData) {
  return {
    shape: pressures.map(Math.sqrt),
    nuisances: [
      ...(sensorZero === null
        ? []
        : [{ column: pressures.map((p) => -0.5 / Math.sqrt(p)), datum: sensorZero }]),
      ...(flowZero === null ? [] : [{ column: pressures.map(() => 1), datum: flowZero }]),
    ],
    zerosOf: (found: readonly number[]) => ({
      sensorZero: sensorZero === null ? 0 : found[0]!,
      flowZero: flowZero === null ? 0 : found.at(-1)!,
    }),
  };
}

/**
 * k√P: held to the reference (no fault), or free (worn, restricted: whichever side k falls). Null: the numbers are too far apart to be
 * fitted (a reference beyond all sense).
 */
export function fitConstant(data: CandidateData, free: boolean): CandidateFit | null {
  const expected = constantExpected(data, soundRig);
  const { shape, nuisances, zerosOf } = columnsOf(data);
  const columns = [shape, ...nuisances.map(({ column }) => column)];
  const datum = free ? null : expected.datum;
  const nuisanceData = nuisances.map((one) => one.datum);
  const fit = heldLeastSquares(columns, data.flows, data.doubts, [datum, ...nuisanceData]);
  if (fit === null) return null;
  const [constant = 0, ...zeros] = fit.parameters;
  if (!Number.isFinite(constant)) return null;
  const held = sum([
    dialPenalty(data.evidence, soundRig),
    blankTipPenalty(data.evidence),
    expected.penalty,
    ...heldTo(datum === null ? [] : [[datum, constant]]),
    ...nuisanceData.map((one, i): Penalty => ({ chiSquare: against(one, zeros[i]!), count: 0 })),
    // k takes one; without the reference nothing holds it.
    { chiSquare: 0, count: -1 },
  ]);
  return {
    constant,
    offset: 0,
    cap: Infinity,
    leak: 0,
    ...zerosOf(zeros),
    deviance: misfit(data, columns, fit.parameters, data.doubts) + held.chiSquare,
    doubts: data.doubts,
    held,
    sizeStandardUncertainty: free ? Math.sqrt(fit.covariance[0]![0]!) : 0,
    atBoundary: false,
  };
}

/** k√P + L·P^e with L not negative; what a blank tip let out is a datum of L. `sound`: the fit of no fault, its boundary. */
export function fitLeak(data: CandidateData, sound: CandidateFit): CandidateFit {
  const { evidence, pressures, leakExponent } = data;
  const expected = constantExpected(data, soundRig);
  const { shape, nuisances, zerosOf } = columnsOf(data);
  const leaks = pressures.map((p) => p ** leakExponent);
  const columns = [shape, leaks, ...nuisances.map(({ column }) => column)];
  const nuisanceData = nuisances.map((one) => one.datum);
  const blank = evidence.blankTip;
  const perLeak = blank === null ? 1 : blank.pressure ** leakExponent;
  const leakDatum =
    blank === null
      ? null
      : { mean: blank.mean / perLeak, standardUncertainty: blank.standardUncertainty / perLeak };
  const solve = (doubts: readonly number[]) =>
    heldLeastSquares(columns, data.flows, doubts, [expected.datum, leakDatum, ...nuisanceData]);
  let doubts = data.doubts;
  let fit = solve(doubts);
  for (let turn = 0; turn < TURNS; turn++) {
    if (fit === null || !(fit.parameters[1]! > 0)) return boundary(sound);
    const [k = 0, leak = 0] = fit.parameters;
    doubts = doubtsOf(
      data,
      pressures.map((p) => k / (2 * Math.sqrt(p)) + leakExponent * leak * p ** (leakExponent - 1)),
    );
    fit = solve(doubts);
  }
  if (fit === null || !(fit.parameters[1]! > 0)) return boundary(sound);
  const [constant = 0, leak = 0, ...zeros] = fit.parameters;
  const held = sum([
    dialPenalty(evidence, soundRig),
    expected.penalty,
    ...heldTo([[expected.datum, constant], ...(leakDatum === null ? [] : [[leakDatum, leak] as const])]),
    ...nuisanceData.map((one, i): Penalty => ({ chiSquare: against(one, zeros[i]!), count: 0 })),
    { chiSquare: 0, count: -2 },
  ]);
  const deviance = misfit(data, columns, fit.parameters, doubts) + held.chiSquare;
  if (deviance >= sound.deviance) return boundary(sound);
  return {
    constant,
    offset: 0,
    cap: Infinity,
    leak,
    ...zerosOf(zeros),
    deviance,
    doubts,
    held,
    sizeStandardUncertainty: Math.sqrt(fit.covariance[1]![1]!),
    atBoundary: false,
  };
}

/** Rounds in which the doubts follow the curve; they change by a few per cent in the first and by nothing that counts in the third. */
export const TURNS = 3;

/** Own part and the pressure's doubt through this candidate's own slope. */
export function doubtsOf(data: CandidateData, slopes: readonly number[]): number[] {
  return data.own.map((own, i) => Math.hypot(own, slopes[i]! * data.pressureDoubts[i]!));
}

/** Σ(residual/u)² + Σ ln(u²/u₀²): a candidate may not buy its fit with larger doubts. */
export function misfit(
  data: CandidateData,
  columns: readonly (readonly number[])[],
  parameters: readonly number[],
  doubts: readonly number[],
): number {
  let total = 0;
  for (let n = 0; n < data.flows.length; n++) {
    let residual = data.flows[n]!;
    for (let j = 0; j < columns.length; j++) residual -= columns[j]![n]! * parameters[j]!;
    const u = doubts[n]!;
    total += (residual / u) ** 2 + 2 * Math.log(u / data.doubts[n]!);
  }
  return total;
}

export function boundary(sound: CandidateFit): CandidateFit {
  return { ...sound, atBoundary: true };
}

export function heldTo(pairs: readonly (readonly [Datum, number])[]): Penalty[] {
  return pairs.map(([datum, value]) => ({ chiSquare: against(datum, value), count: 1 }));
}

export function sum(penalties: readonly Penalty[]): Penalty {
  return penalties.reduce(
    (all, one) => ({ chiSquare: all.chiSquare + one.chiSquare, count: all.count + one.count }),
    { chiSquare: 0, count: 0 },
  );
}

/** What all candidates but the leaking one owe to the checks, once their claim is made. */
export function checksAgainst(data: CandidateData, claim: RigClaim): Penalty {
  return sum([dialPenalty(data.evidence, claim), blankTipPenalty(data.evidence)]);
}
