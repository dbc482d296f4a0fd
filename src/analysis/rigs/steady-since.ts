import { tQuantile } from '../../base/statistics/distributions.ts';
import { bentLine } from './bent-line.ts';
import type { Readings } from './unbumped.ts';

export interface SteadySince {
  /** From here on the flow is steady; null: not within these readings, and the rest is told of the straightest end. */
  readonly steadyFrom_s: number | null;
  /** Where the window begins in either case. */
  readonly from_s: number;
  /** Flow that a line through the rest still lacks because the hose swells on, kg/s; what to add. */
  readonly lacking_kg_per_s: number;
  /** Doubt of that, standard uncertainty. */
  readonly standardUncertainty_kg_per_s: number;
}

/** A line through so much has an honest ± at all. */
const SHORTEST_REST_s = 12;
/** Steady: what the line still lacks is at most this share of the flow. */
const LACKING_SHARE = 0.005;
/** What is lacking is known to about this share of itself; all of it where the flow never got steady. Simulated (benchmark `rigs`). */
const DOUBT_SHARE = 0.4;
const BLOCK_s = 0.5;
/** Time constants that are tried, s. */
const TIMES_s = [1, 1.5, 2, 3, 4.5, 6, 9, 12, 16, 20, 25, 32, 40];

/**
 * What: from when on a flow is steady, of a hose that first has to swell, and what a straight line from there still lacks.
 * Rule: the earliest moment from which (a) a bent line of second degree changes its flow by no more than its own honest ± (t of its
 *   degrees of freedom, 95 %), and (b) an exponential approach Q(1 − a·e^(−t/τ)), laid through all readings, lacks under 0.5 % there.
 *   (a) alone is blind: a line it lets pass covers 40 % where it claims 95 % (simulated, 300 fills).
 * Formula: mass = c + Q·t + A·e^(−t/τ), linear in c, Q, A for each τ tried, least squares; the lack of a line's slope over a rest of length
 *   L is D·6(1/x² − 2/x³ + (1/x² + 2/x³)e^(−x)) with D the lack at its beginning and x = L/τ (arithmetic: the slope's weights 6u(1 − u)).
 * Conditions: readings from after the start's own transient to the stop, bumps left out. Null under 18 s.
 * @param step_s how finely the beginning is looked for; live looks may be coarser.
 */
export function steadySince(readings: Readings, step_s = 1): SteadySince | null {
  const { time_s, mass_kg } = blocked(readings);
  const n = time_s.length;
  const first_s = time_s[0] ?? 0;
  const last_s = time_s[n - 1] ?? 0;
  if (last_s - first_s < SHORTEST_REST_s + 6) return null;
  const approach = approachOf(time_s, mass_kg);
  if (approach === null) return null;
  const lackingFrom = (from_s: number): number =>
    approach.lack_kg_per_s *
    Math.exp(-(from_s - first_s) / approach.time_s) *
    lineLacks((last_s - from_s) / approach.time_s);
  let i = 0;
  for (let from_s = first_s; from_s <= last_s - SHORTEST_REST_s; from_s += step_s) {
    while (time_s[i]! < from_s) i++;
    const lacking_kg_per_s = lackingFrom(from_s);
    if (Math.abs(lacking_kg_per_s) > LACKING_SHARE * approach.flow_kg_per_s) continue;
    const rest = bentLine(time_s.slice(i), mass_kg.slice(i), 2);
    if (rest === null) continue;
    const change = rest.change(time_s[i]!, last_s);
    const half = tQuantile(0.975, rest.noise.degreesOfFreedom) * change.standardUncertainty_kg_per_s;
    if (Math.abs(change.flow_kg_per_s) > half) continue;
    return {
      steadyFrom_s: from_s,
      from_s,
      lacking_kg_per_s,
      standardUncertainty_kg_per_s: DOUBT_SHARE * Math.abs(lacking_kg_per_s),
    };
  }
  const from_s = last_s - SHORTEST_REST_s;
  const lacking_kg_per_s = lackingFrom(from_s);
  return {
    steadyFrom_s: null,
    from_s,
    lacking_kg_per_s,
    standardUncertainty_kg_per_s: Math.abs(lacking_kg_per_s),
  };
}

/** Share of the lack at its beginning that a line over x time constants has on average. */
function lineLacks(x: number): number {
  if (x < 0.05) return 1 - x / 2;
  return 6 * (1 / x ** 2 - 2 / x ** 3 + (1 / x ** 2 + 2 / x ** 3) * Math.exp(-x));
}

function blocked({ time_s, mass_kg }: Readings): { time_s: number[]; mass_kg: number[] } {
  const times: number[] = [];
  const masses: number[] = [];
  let block = -1;
  let n = 0;
  for (let i = 0; i < time_s.length; i++) {
    const here = Math.floor((time_s[i]! - time_s[0]!) / BLOCK_s);
    if (here !== block) {
      block = here;
      n = 0;
      times.push(0);
      masses.push(0);
    }
    n++;
    const at = times.length - 1;
    times[at]! += (time_s[i]! - times[at]!) / n;
    masses[at]! += (mass_kg[i]! - masses[at]!) / n;
  }
  return { time_s: times, mass_kg: masses };
}

interface Approach {
  readonly time_s: number;
  readonly flow_kg_per_s: number;
  /** At the first reading. */
  readonly lack_kg_per_s: number;
}

/** The exponential approach with the least sum of squares; null when nothing flows in any. */
function approachOf(time_s: readonly number[], mass_kg: readonly number[]): Approach | null {
  let best: (Approach & { readonly squares: number }) | null = null;
  for (const tau_s of TIMES_s) {
    const found = approachWith(time_s, mass_kg, tau_s);
    if (found !== null && found.squares < (best?.squares ?? Infinity)) best = { ...found, time_s: tau_s };
  }
  return best !== null && best.flow_kg_per_s > 0 ? best : null;
}

function approachWith(time_s: readonly number[], mass_kg: readonly number[], tau_s: number) {
  const n = time_s.length;
  const first_s = time_s[0]!;
  // Time and wave with their means, and the wave with its share of time, taken out: two divisions are left.
  const t = time_s.map((at_s) => at_s - first_s);
  const e = t.map((since_s) => Math.exp(-since_s / tau_s));
  const meanOf = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / n;
  const [meanT, meanE, meanM] = [meanOf(t), meanOf(e), meanOf(mass_kg)];
  let [tt, te, ee, tm, em] = [0, 0, 0, 0, 0];
  for (let i = 0; i < n; i++) {
    const [dt, de, dm] = [t[i]! - meanT, e[i]! - meanE, mass_kg[i]! - meanM];
    tt += dt * dt;
    te += dt * de;
    ee += de * de;
    tm += dt * dm;
    em += de * dm;
  }
  const det = tt * ee - te * te;
  if (!(det > 1e-9 * tt * ee)) return null;
  const flow_kg_per_s = (ee * tm - te * em) / det;
  const size_kg = (tt * em - te * tm) / det;
  let squares = 0;
  for (let i = 0; i < n; i++) {
    squares += (mass_kg[i]! - meanM - flow_kg_per_s * (t[i]! - meanT) - size_kg * (e[i]! - meanE)) ** 2;
  }
  // dm/dt = Q − (A/τ)·e^(−t/τ), so the flow lacks A/τ at first.
  return { flow_kg_per_s, lack_kg_per_s: size_kg / tau_s, squares };
}
