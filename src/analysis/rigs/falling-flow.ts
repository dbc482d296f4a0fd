import { tQuantile } from '../../base/statistics/distributions.ts';
import { bentLine } from './bent-line.ts';
import type { BentLine, FlowWithDoubt } from './bent-line.ts';

/** One row of the table of a falling flow. */
export interface FallingRow {
  readonly since_s: number;
  /** Water that had come since the catch began, as shown, kg. */
  readonly given_kg: number;
  readonly flow_kg_per_s: number;
  readonly standardUncertainty_kg_per_s: number;
}

export interface FallingFlow {
  /** Start, middle and end of the window. */
  readonly rows: readonly FallingRow[];
  readonly mean: FlowWithDoubt;
  readonly degreesOfFreedom: number;
  readonly degree: 2 | 3;
  readonly line: BentLine;
  /** What the fading push of the jet has taken off the mean flow as shown, kg/s (negative: put back). */
  readonly pushTaken_kg_per_s: number;
}

/** The push at the start is known to this share of itself and this much beside it (start edge, drip, wander). Assumed; simulated. */
const PUSH_SHARE = 0.2;
const PUSH_KG = 0.0015;

/**
 * What: flow at the start, in the middle and at the end of a catch whose flow falls, and its mean, from a bent line of the mass.
 * Purpose: a pumped-up can has no one flow. The jet's push fades with it (it goes as the square of the flow: momentum, flow times
 *   speed), and a fading push looks like less water: J₀·(q/q₀)² is taken off the shown mass first, J₀ the push at the start edge.
 * Formula: polynomial of second degree, of third where its cubic term is sure to 95 %; q = dm/dt − d/dt[J₀(q/q₀)²]; the mean likewise
 *   from the ends of the window. u² = S0·wᵀ(XᵀX)⁻¹w + (what the push's correction is worth)², at single moments also the third degree's
 *   difference, rectangular, where that degree was not used.
 * `before_kg`: the level before the start; null where no jet presses on the scale: then nothing is taken off, and the water given counts
 *   from the line at the start.
 * `over`: what the mean is taken over; may begin a little before the readings given.
 * Conditions: columns of the steady window only, ascending, finite. Null where no bent line can be laid or nothing flows.
 */
export function fallingFlow(
  time_s: ArrayLike<number>,
  mass_kg: ArrayLike<number>,
  start_s: number,
  before_kg: number | null,
  over: { readonly from_s: number; readonly to_s: number },
): FallingFlow | null {
  const n = time_s.length;
  const second = bentLine(time_s, mass_kg, 2);
  if (second === null) return null;
  const third = bentLine(time_s, mass_kg, 3);
  const sure = third === null ? Infinity : tQuantile(0.975, third.noise.degreesOfFreedom);
  const isCubic = third !== null && third.highestOverItsDoubt > sure;
  const line = isCubic ? third : second;
  const from_s = time_s[0]!;
  const to_s = time_s[n - 1]!;
  const first = line.flowAt(from_s).flow_kg_per_s;
  if (!(first > 0) || !(line.meanFlow(from_s, to_s).flow_kg_per_s > 0)) return null;
  const level_kg = before_kg ?? line.mass_kg(start_s);
  const push = Math.max(0, line.mass_kg(start_s) - level_kg);
  const pushDoubt = before_kg === null ? 0 : PUSH_SHARE * push + PUSH_KG;
  const fading = (t: number): number => (line.flowAt(t).flow_kg_per_s / first) ** 2;
  const fadesBy_per_s = (t: number): number => {
    const d_s = 0.01 * (to_s - from_s);
    return (fading(t + d_s) - fading(t - d_s)) / (2 * d_s);
  };
  const corrected = (seen: FlowWithDoubt, per_s: number): FlowWithDoubt => ({
    flow_kg_per_s: seen.flow_kg_per_s - push * per_s,
    standardUncertainty_kg_per_s: Math.hypot(seen.standardUncertainty_kg_per_s, pushDoubt * per_s),
  });
  // A bend of the third degree that is there but not sure shows most at the ends: what it would change is part of the doubt there.
  const bentDoubt = (t: number): FlowWithDoubt => {
    const seen = line.flowAt(t);
    const other = isCubic || third === null ? seen : third.flowAt(t);
    const off = Math.abs(other.flow_kg_per_s - seen.flow_kg_per_s) / Math.sqrt(3);
    return { ...seen, standardUncertainty_kg_per_s: Math.hypot(seen.standardUncertainty_kg_per_s, off) };
  };
  const overWindow_per_s = (fading(over.to_s) - fading(over.from_s)) / (over.to_s - over.from_s);
  const mean = corrected(line.meanFlow(over.from_s, over.to_s), overWindow_per_s);
  return {
    rows: [from_s, (from_s + to_s) / 2, to_s].map((t) => ({
      since_s: t - start_s,
      given_kg: Math.max(0, line.mass_kg(t) - level_kg - push * fading(t)),
      ...corrected(bentDoubt(t), fadesBy_per_s(t)),
    })),
    mean,
    degreesOfFreedom: line.noise.degreesOfFreedom,
    degree: isCubic ? 3 : 2,
    line,
    pushTaken_kg_per_s: push * overWindow_per_s,
  };
}
